#!/usr/bin/python3
"""Compares tracks.ReadFile with pandas.read_csv (default C engine) on one file.

The file is a take of ten minutes at 240 samples/s: 144,000 rows of a time and
four points, x and y, 16 MB. Both programs read it in turns, a process for each
turn with some readings in it, so that what else the machine does hits both.
Printed are the medians, their ratio, and the peak memory of a process that
reads the file once.

    .ci/bench/readtracks.py [--turns 5] [--goflags FLAGS]
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile

import numpy as np

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))

PANDAS = """
import json, sys, time
import pandas
def peak():
    for line in open("/proc/self/status"):
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) * 1024 / 1e6
base = peak()
seconds = []
for _ in range(int(sys.argv[2])):
    start = time.perf_counter()
    df = pandas.read_csv(sys.argv[1])
    seconds.append(time.perf_counter() - start)
print(json.dumps({"seconds": seconds, "rows": len(df), "sum": float(df.iloc[:, 1].sum()),
                  "peak_mb": peak(), "base_mb": base}))
"""


def write_take(path, kind):
    """Writes the take with 8 decimals, or in the shortest form of a float64."""
    n = 144_000
    rng = np.random.default_rng(1)
    t = np.arange(n) / 240
    columns = [t]
    for k in range(8):
        columns.append(500 + 300 * np.sin(2 * np.pi * 6 * t + k) + rng.normal(0, 0.8, n))
    names = ["time"] + [p + "_" + a for p in ("tip", "wrist", "nut", "bridge") for a in "xy"]
    table = np.column_stack(columns)
    with open(path, "w") as f:
        f.write(",".join(names) + "\n")
        if kind == "fixed":
            np.savetxt(f, table, fmt=["%.6f"] + ["%.8f"] * 8, delimiter=",")
        else:
            for row in table.tolist():
                f.write(",".join(map(repr, row)) + "\n")


def run(command, path, times):
    out = subprocess.run(command + [path, str(times)], check=True, stdout=subprocess.PIPE, text=True)
    return json.loads(out.stdout)


def main():
    ap = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ap.add_argument("--turns", type=int, default=5)
    ap.add_argument("--goflags", default="", help="flags for go build")
    args = ap.parse_args()
    worst = float("inf")
    with tempfile.TemporaryDirectory() as tmp:
        ours = os.path.join(tmp, "readtracks")
        subprocess.run(["go", "build", "-o", ours] + args.goflags.split() + ["./.ci/bench/readtracks"],
                       check=True, cwd=ROOT)
        commands = {"tracks": [ours], "pandas": [sys.executable, "-c", PANDAS]}
        for kind, title in [("fixed", "8 decimals"), ("shortest", "shortest float64")]:
            path = os.path.join(tmp, kind + ".csv")
            write_take(path, kind)
            size = os.path.getsize(path) / 1e6
            seconds = {name: [] for name in commands}
            last = {}
            for _ in range(args.turns):
                for name, command in commands.items():
                    last[name] = run(command, path, 5)
                    seconds[name] += last[name]["seconds"]
            a, b = last["tracks"], last["pandas"]
            assert a["rows"] == b["rows"] and abs(a["sum"] - b["sum"]) < 1e-9 * abs(b["sum"]), (a, b)
            peak = {name: run(command, path, 1) for name, command in commands.items()}
            print(f"{title}: {size:.1f} MB, {a['rows']} rows, medians of {len(seconds['tracks'])} readings in turns")
            for name in commands:
                s = statistics.median(seconds[name])
                extra = f", {peak[name]['base_mb']:.0f} of it before reading" if "base_mb" in peak[name] else \
                    f", {a['allocated_mb']:.1f} allocated in a reading"
                print(f"  {name}  {1e3 * s:6.1f} ms  {size / s:5.0f} MB/s  peak {peak[name]['peak_mb']:.0f} MB{extra}")
            ratio = statistics.median(seconds["pandas"]) / statistics.median(seconds["tracks"])
            print(f"  tracks is {ratio:.1f} times as fast")
            worst = min(worst, ratio)
    if worst < 2:
        sys.exit("less than twice the speed of pandas")


main()
