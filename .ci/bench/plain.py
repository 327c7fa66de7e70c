#!/usr/bin/python3
"""The plain part of the main job with pandas and scipy: reading, interpolating,
filtering, the instrument frame, turns and angles. What the other scripts here hold
plectrace against, in a process of its own:

    plain.py RUNS FILE        seconds of each run, strokes and memory, as JSON
    plain.py study LIST OUT   the same of every take in LIST, a table of them and of
                              the players, and a rank correlation
"""

import json
import os
import sys
import time

import numpy
import pandas
from scipy.interpolate import CubicSpline
from scipy.signal import butter, filtfilt, find_peaks
from scipy.stats import spearmanr


def peak():
    for line in open("/proc/self/status"):
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) * 1024 / 1e6


def strokes(path):
    """Times of the turns in seconds and path angles of the strokes in degrees."""
    df = pandas.read_csv(path)
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
    return even[turns], numpy.array(angles)


def study(takes, out):
    table = pandas.read_csv(takes)
    rows = []
    for player, name in zip(table["player"], table["file"]):
        at, angles = strokes(os.path.join(os.path.dirname(takes), name))
        lasts = numpy.diff(at)
        rows.append({"player": player, "file": name, "strokes": len(angles), "angle_deg": numpy.median(angles), "angle_scatter_deg": angles.std(),
                     "notes_per_second": 1 / lasts.mean(), "duration_scatter": lasts.std() / lasts.mean()})
    rows = pandas.DataFrame(rows)
    os.makedirs(out)
    rows.to_csv(os.path.join(out, "rows.csv"), index=False)
    players = rows.groupby("player").mean(numeric_only=True)
    players.to_csv(os.path.join(out, "players.csv"))
    print(spearmanr(players["duration_scatter"], players["notes_per_second"]))


def main():
    if sys.argv[1] == "study":
        study(sys.argv[2], sys.argv[3])
        return
    base, seconds = peak(), []
    for _ in range(int(sys.argv[1])):
        start = time.perf_counter()
        angles = strokes(sys.argv[2])[1]
        seconds.append(time.perf_counter() - start)
    print(json.dumps({"seconds": seconds, "strokes": len(angles), "peak_mb": peak(), "base_mb": base}))


main()
