#!/usr/bin/python3
"""Compares the main job with pandas and scipy (plain.py), which do the plain part of
it: reading, interpolating, filtering, peaks and angles. plectrace is timed twice: with
the same plain part alone, cleaning included, and with all that a review measures, the
page apart.

The file is a simulated take of ten minutes at 240 frames/s: 144,000 rows of a
time and four points, x and y, with eight decimals, 17 MB. The three take
turns, a process for each turn with some runs in it, so that what else the
machine does hits all. Printed are the medians, their ratios, and the peak
memory of a process that does the job once.

    .ci/bench/onetake.py [--turns 5]
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))

def sh(*args, **kw):
    return subprocess.run(args, check=True, stdout=subprocess.PIPE, text=True, **kw).stdout


def widen(path):
    """Gives the export eight decimals, as many trackers write."""
    import pandas

    df = pandas.read_csv(path)
    df.to_csv(path, index=False, float_format="%.8f")


def peak_mb(*args):
    """Peak resident memory of one process, in MB."""
    r = subprocess.run(
        [sys.executable, "-c", "import resource,subprocess,sys;subprocess.run(sys.argv[1:],check=True,stdout=subprocess.DEVNULL);"
         "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss*1024/1e6)", *args],
        check=True, stdout=subprocess.PIPE, text=True)
    return float(r.stdout)


def main():
    p = argparse.ArgumentParser()
    p.add_argument("--turns", type=int, default=5)
    turns = p.parse_args().turns
    with tempfile.TemporaryDirectory() as tmp:
        ours, take = os.path.join(tmp, "ours"), os.path.join(tmp, "take")
        subprocess.run(["go", "build", "-o", ours, "./.ci/bench/onetake"], check=True, cwd=ROOT)
        subprocess.run(["go", "run", "./examples/simulate", "-seconds", "600", "-rate", "10", "-angle", "18", "-wrist", "0.4",
                        "-tracked-marks", "-drop-outs", "0.005", "-outliers", "0.001", "-out", take, "-name", "long"],
                       check=True, cwd=ROOT, stdout=subprocess.DEVNULL)
        export, settings = os.path.join(take, "long.csv"), os.path.join(take, "long.take.json")
        widen(export)
        script = os.path.join(HERE, "plain.py")
        seconds = {"plain": [], "review": [], "scipy": []}
        for _ in range(turns):
            for part in ("plain", "review"):
                seconds[part] += json.loads(sh(ours, "3", part, export, settings))
            seconds["scipy"] += json.loads(sh(sys.executable, script, "3", export))["seconds"]
        theirs = json.loads(sh(sys.executable, script, "1", export))
        y = statistics.median(seconds["scipy"])
        print(f"file {os.path.getsize(export) / 1e6:.1f} MB")
        print(f"pandas and scipy, {theirs['strokes']} strokes: {1e3 * y:.0f} ms, peak {theirs['peak_mb']:.0f} MB ({theirs['base_mb']:.0f} before reading)")
        for part, title in (("plain", "plectrace, the same"), ("review", "plectrace, all but the page")):
            x, mem = statistics.median(seconds[part]), peak_mb(ours, "1", part, export, settings)
            print(f"{title}: {1e3 * x:.0f} ms, peak {mem:.0f} MB; time: {x / y:.2f} of theirs; memory: {mem / theirs['peak_mb']:.2f} of theirs")


main()
