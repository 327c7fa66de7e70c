#!/usr/bin/python3
"""Measures how time and memory grow with the length of a take and with its points.

Simulated takes of 1, 10 and 100 minutes at 240 frames/s (four points, drop-outs,
outliers, stretches of searching, pauses and changes of string) and of one minute with
1, 10 and 50 points, two marks at rest in the settings, are read, reviewed, and put
through examples/onetake whole, page and all. Each step is a process of its own.
Processor time, less that of a program that does nothing, and peak resident memory are
printed as multiples of the smallest take's. It is a failure if one of them grows by more
than half beyond what is in proportion to the minutes; with more points, beyond the
reading of them. (When the garbage collector runs decides as much of the peak: the heap
may reach twice what is in use.)

    .ci/bench/length.py [--minutes 1,10,100] [--points 1,10,50]
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))

CHILD = """
import json, resource, subprocess, sys
subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL)
r = resource.getrusage(resource.RUSAGE_CHILDREN)
print(json.dumps([r.ru_utime + r.ru_stime, r.ru_maxrss * 1024 / 1e6]))
"""


def measured(*command):
    """Processor seconds and peak MB of a process."""
    return json.loads(subprocess.run([sys.executable, "-c", CHILD, *command], check=True, stdout=subprocess.PIPE, text=True).stdout)


def times(command, runs):
    """The least processor seconds of some processes, and the peak MB of the last."""
    all = [measured(*command(i)) for i in range(runs)]
    return min(s for s, _ in all), all[-1][1]


def make_take(tmp, minutes, marks):
    """A take in which something happens all the time: export and settings."""
    seconds = 60 * minutes
    plan = ",".join(f"{t}:{('settled', 'wander', 'fresh')[t // 8 % 3]}" for t in range(0, seconds, 8))
    pauses = ",".join(f"{t}:1.5" for t in range(20, seconds, 45))
    changes = ",".join(f"{t}:{1 if t // 11 % 2 else -1}" for t in range(5, seconds - 3, 11))
    out = os.path.join(tmp, f"take-{minutes}-{len(marks)}")
    subprocess.run([os.path.join(tmp, "simulate"), "-seconds", str(seconds), "-angle", "18", "-drop-outs", "0.01", "-outliers", "0.002",
                    "-plan", plan, "-pauses", pauses, "-changes", changes, *marks, "-out", out, "-name", "take"],
                   check=True, stdout=subprocess.DEVNULL)
    return os.path.join(out, "take.csv"), os.path.join(out, "take.take.json")


def with_points(source, target, points):
    """The take with its one point, and copies of it by other names."""
    with open(source) as f, open(target, "w") as g:
        time, x, y = f.readline().rstrip("\n").split(",")
        names = [n for k in range(1, points) for n in (f"p{k}_x", f"p{k}_y")]
        g.write(",".join([time, x, y] + names) + "\n")
        for line in f:
            line = line.rstrip("\n")
            g.write(line + line[line.index(","):] * (points - 1) + "\n")


def main():
    p = argparse.ArgumentParser()
    p.add_argument("--minutes", default="1,10,100")
    p.add_argument("--points", default="1,10,50")
    a = p.parse_args()
    failed = []
    with tempfile.TemporaryDirectory() as tmp:
        for package in ("./.ci/bench/onetake", "./examples/simulate", "./examples/onetake"):
            name = "part" if package.startswith("./.ci") else os.path.basename(package)
            subprocess.run(["go", "build", "-o", os.path.join(tmp, name), package], check=True, cwd=ROOT)
        part, program = os.path.join(tmp, "part"), os.path.join(tmp, "onetake")

        def row(title, take, size, first, minutes):
            runs, out = (3 if size < 10 else 1), []
            idle = times(lambda i: (part, "0", "read", *take), 3)[0]
            for step in ("read", "review"):
                n = max(1, 20 // size)
                s, _ = times(lambda i: (part, str(n), step, *take), runs)
                out.append((max(s - idle, 1e-9) / n, measured(part, "1", step, *take)[1]))
            out.append(times(lambda i: (program, "-quiet", "-settings", take[1], "-out", os.path.join(tmp, f"{os.path.basename(take[0])}-{size}-{i}"), take[0]), runs))
            first = first or out
            cells = []
            for k, (step, (s, mb)) in enumerate(zip(("read", "review", "onetake"), out)):
                if minutes or k == 0:
                    allowed = [size * v for v in first[k]]
                else:  # points that it has no use for may cost their reading
                    allowed = [v + max(0, now - then) for v, now, then in zip(first[k], out[0], first[0])]
                if s > 1.5 * allowed[0] or mb > 1.5 * allowed[1]:
                    failed.append(f"{step} of {title}")
                cells.append(f"{step} {s / first[k][0]:.1f} × time, {mb / first[k][1]:.1f} × memory ({mb:.0f} MB)")
            print(f"{title:>12}: " + "; ".join(cells), flush=True)
            return first

        first = None
        for minutes in map(int, a.minutes.split(",")):
            take = make_take(tmp, minutes, ["-tracked-marks", "-wrist", "0.4"])
            first = row(f"{minutes} minutes", take, minutes, first, True)
            os.remove(take[0])
        source, settings = make_take(tmp, 1, [])
        first = None
        for points in map(int, a.points.split(",")):
            target = os.path.join(tmp, f"points-{points}.csv")
            with_points(source, target, points)
            first = row(f"{points} points", (target, settings), points, first, False)
    if failed:
        sys.exit("grows faster than it should: " + ", ".join(failed))


main()
