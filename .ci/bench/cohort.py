#!/usr/bin/python3
"""Measures time and memory of a study of many takes.

Two dozen simulated takes of 30 s at 240 frames/s (four points, 0.5 MB each) stand
for all: the list names links to them, so that a study of 10,000 takes needs no
5 GB of disk. Each study is one run of the program with its rows, tables and page.
Printed are the wall time, the processor time, the peak resident memory of the
process and the size of the rows, and beside them what a take costs against the
smallest study. Of the smallest study pandas and scipy (plain.py) then do the plain
part, reading, filtering, turns, angles and a table of players, and the ratio of the
processor times is printed.

    .ci/bench/cohort.py [--sizes 100,1000,10000] [--workers N]
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
MADE = 24
EVENINGS = 10

CHILD = """
import json, resource, subprocess, sys, time
start = time.perf_counter()
subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL)
r = resource.getrusage(resource.RUSAGE_CHILDREN)
print(json.dumps({"wall": time.perf_counter() - start, "cpu": r.ru_utime + r.ru_stime, "peak_mb": r.ru_maxrss * 1024 / 1e6}))
"""


def make_takes(tmp):
    simulate = os.path.join(tmp, "simulate")
    subprocess.run(["go", "build", "-o", simulate, "./examples/simulate"], check=True, cwd=ROOT)
    made = []
    for i in range(MADE):
        out = os.path.join(tmp, f"made-{i}")
        subprocess.run([simulate, "-seed", str(i + 1), "-seconds", "30", "-rate", str(7 + 0.2 * i), "-angle", "14", "-tracked-marks",
                        "-wrist", "0.4", "-drop-outs", "0.005", "-outliers", "0.001", "-out", out, "-name", "take"],
                       check=True, stdout=subprocess.DEVNULL)
        made.append(os.path.join(out, "take"))
    return made


def make_list(folder, made, n):
    os.makedirs(folder)
    with open(os.path.join(folder, "takes.csv"), "w") as f:
        f.write("player,date,session,take,file,setup,stopped_by,grip,comfort\n")
        for i in range(n):
            name, source = f"t{i:05}", made[i * 7 % MADE]
            for end in (".csv", ".take.json"):
                os.symlink(source + end, os.path.join(folder, name + end))
            player, evening = divmod(i, EVENINGS)
            f.write(f"P{player:04},2026-01-{evening + 1:02},,1,{name}.csv,class,timer,,good\n")


def main():
    p = argparse.ArgumentParser()
    p.add_argument("--sizes", default="100,1000,10000")
    p.add_argument("--workers", type=int, default=0)
    a = p.parse_args()

    def measured(*command):
        return json.loads(subprocess.run([sys.executable, "-c", CHILD, *command], check=True, stdout=subprocess.PIPE, text=True).stdout)

    with tempfile.TemporaryDirectory() as tmp:
        program = os.path.join(tmp, "cohort")
        subprocess.run(["go", "build", "-o", program, "./examples/cohort"], check=True, cwd=ROOT)
        made = make_takes(tmp)
        plan = os.path.join(tmp, "plan.json")
        with open(plan, "w") as f:  # the links are duplicates by content
            json.dump({"primary": {"predictor": "duration_scatter", "outcome": "notes_per_second"}, "exclusions": {"keep_duplicates": True}}, f)
        first = None
        for n in map(int, a.sizes.split(",")):
            folder = os.path.join(tmp, f"study-{n}")
            make_list(folder, made, n)
            out = os.path.join(tmp, f"out-{n}")
            takes = os.path.join(folder, "takes.csv")
            r = measured(program, "-quiet", "-workers", str(a.workers), "-plan", plan, "-out", out, takes)
            rows = os.path.getsize(os.path.join(out, "rows.csv")) / 1e6
            smallest = first is None
            first = first or (r["cpu"] / n, r["peak_mb"])
            print(f"{n:6} takes: {r['wall']:.1f} s, {r['cpu']:.1f} s of processors, peak {r['peak_mb']:.0f} MB, rows {rows:.0f} MB; "
                  f"a take costs {r['cpu'] / n / first[0]:.2f} of that in the smallest study, memory is {r['peak_mb'] / first[1]:.2f} of it", flush=True)
            if smallest:
                theirs = measured(sys.executable, os.path.join(HERE, "plain.py"), "study", takes, os.path.join(tmp, "plain"))
                print(f"       pandas and scipy, the plain part: {theirs['cpu']:.1f} s of processors, peak {theirs['peak_mb']:.0f} MB; "
                      f"the study took {r['cpu'] / theirs['cpu']:.2f} of their time, {r['peak_mb'] / theirs['peak_mb']:.2f} of their memory", flush=True)


main()
