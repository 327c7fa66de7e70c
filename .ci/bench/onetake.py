#!/usr/bin/python3
"""Compares the main job without its page with pandas and scipy doing the plain
part of it: reading, interpolating, filtering, peaks and angles.

The file is a simulated take of ten minutes at 240 frames/s: 144,000 rows of a
time and four points, x and y, with eight decimals, 17 MB. The two programs take
turns, a process for each turn with some runs in it, so that what else the
machine does hits both. Printed are the medians, their ratio, and the peak
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

SCIPY = """
import json, sys, time
import numpy, pandas
from scipy.signal import butter, filtfilt, find_peaks
from scipy.interpolate import CubicSpline
def peak():
    for line in open("/proc/self/status"):
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) * 1024 / 1e6
base = peak()
seconds = []
for _ in range(int(sys.argv[2])):
    start = time.perf_counter()
    df = pandas.read_csv(sys.argv[1])
    t = df["time_s"].to_numpy()
    even = numpy.linspace(t[0], t[-1], len(t))
    hz = (len(t) - 1) / (t[-1] - t[0])
    b, a = butter(2, 18 / (hz / 2))
    smooth = {}
    for c in df.columns[1:]:
        x = df[c].to_numpy()
        seen = ~numpy.isnan(x)
        smooth[c] = filtfilt(b, a, CubicSpline(t[seen], x[seen])(even))
    # the instrument frame from the two marks, sample by sample
    ax, ay = smooth["treble_x"] - smooth["bass_x"], smooth["treble_y"] - smooth["bass_y"]
    norm = numpy.hypot(ax, ay)
    ax, ay = ax / norm, ay / norm
    ox = (smooth["treble_x"] + smooth["bass_x"]) / 2
    oy = (smooth["treble_y"] + smooth["bass_y"]) / 2
    dx, dy = smooth["tip_x"] - ox, smooth["tip_y"] - oy
    across, out = dx * ax + dy * ay, dx * ay - dy * ax
    tops, _ = find_peaks(across, prominence=20)
    lows, _ = find_peaks(-across, prominence=20)
    turns = numpy.sort(numpy.concatenate([tops, lows]))
    angles = []
    for i, j in zip(turns[:-1], turns[1:]):
        p = numpy.column_stack([across[i:j], out[i:j]])
        p = p - p.mean(axis=0)
        v = numpy.linalg.svd(p, full_matrices=False)[2][0]
        angles.append(numpy.degrees(numpy.arctan2(v[1], v[0])))
    seconds.append(time.perf_counter() - start)
print(json.dumps({"seconds": seconds, "strokes": len(angles), "peak_mb": peak(), "base_mb": base}))
"""

GO = "go"


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
        subprocess.run([GO, "build", "-o", ours, "./.ci/bench/onetake"], check=True, cwd=ROOT)
        subprocess.run([GO, "run", "./examples/simulate", "-seconds", "600", "-rate", "10", "-angle", "18", "-wrist", "0.4",
                        "-tracked-marks", "-drop-outs", "0.005", "-outliers", "0.001", "-out", take, "-name", "long"],
                       check=True, cwd=ROOT, stdout=subprocess.DEVNULL)
        export, settings = os.path.join(take, "long.csv"), os.path.join(take, "long.take.json")
        widen(export)
        script = os.path.join(tmp, "scipy_side.py")
        with open(script, "w") as f:
            f.write(SCIPY)
        a, b = [], []
        for _ in range(turns):
            a += json.loads(sh(ours, "3", export, settings))
            b += json.loads(sh(sys.executable, script, export, "3"))["seconds"]
        theirs = json.loads(sh(sys.executable, script, export, "1"))
        mem = peak_mb(ours, "1", export, settings)
        x, y = statistics.median(a), statistics.median(b)
        print(f"file {os.path.getsize(export) / 1e6:.1f} MB")
        print(f"plectrace, all but the page: {1e3 * x:.0f} ms, peak {mem:.0f} MB")
        print(f"pandas and scipy, {theirs['strokes']} strokes: {1e3 * y:.0f} ms, peak {theirs['peak_mb']:.0f} MB ({theirs['base_mb']:.0f} before reading)")
        print(f"time: {x / y:.2f} of theirs; memory: {mem / theirs['peak_mb']:.2f} of theirs")


main()
