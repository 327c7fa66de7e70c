"""Makes smoothness.json: spectral arc length and log dimensionless jerk of closed-form speed profiles.

Run with the versions named in the result:  python3 smoothness.py > smoothness.json
The two indices are written out here from S. Balasubramanian, A. Melendez-Calderon, A. Roby-Brami and E. Burdet, "On the
analysis of movement smoothness", J. NeuroEng. Rehabil. 12 (2015) 112, with its defaults: 4 levels of padding, a cut-off of 10
Hz, a threshold of 0.05, and the duration n/fs. The values equal those of the authors' own Python code (commit 74a8d7e) to 1e-12;
its documentation gives -1.41403 and -5.81636 for exp(-5 t^2), t = -1, -0.99 ... 0.99.
"""
import json
import sys

import numpy as np


def arc(v, fs, pad=4, fc=10.0, threshold=0.05):
    nfft = int(2 ** (np.ceil(np.log2(len(v))) + pad))
    f = np.arange(nfft) * fs / nfft
    m = np.abs(np.fft.fft(v, nfft))
    m /= m.max()
    keep = np.nonzero((f <= fc) & (m >= threshold))[0]
    i = slice(keep[0], keep[-1] + 1)
    f, m = f[i], m[i]
    return -float(np.sum(np.hypot(np.diff(f) / (f[-1] - f[0]), np.diff(m))))


def jerk(v, fs):
    d = np.diff(v, 2) * fs ** 2
    return -float(np.log((len(v) / fs) ** 3 / np.max(np.abs(v)) ** 2 * np.sum(d ** 2) / fs))


def minimum_jerk(fs, duration, n=None, at=0.0):
    n = int(round(fs * duration)) + 1 if n is None else n
    u = (np.arange(n) / fs - at) / duration
    return np.where((u >= 0) & (u <= 1), 30 * u ** 2 * (1 - u) ** 2, 0.0) / duration


items = []


def add(name, v, fs):
    items.append({"name": name, "sample_hz": fs, "speed": [float(f"{x:.12g}") for x in v]})
    v = np.array(items[-1]["speed"])
    items[-1].update(spectral_arc=arc(v, fs), log_jerk=jerk(v, fs))


add("gauss", np.exp(-5 * np.arange(-1, 1, 0.01) ** 2), 100.0)
for fs in (60.0, 100.0, 240.0, 1000.0):
    add("minimum jerk, 1 s", minimum_jerk(fs, 1.0), fs)
for gap in (0.2, 0.4, 0.6):
    n = int(round(200 * (0.6 + gap))) + 1
    add(f"two movements, {gap} s apart", minimum_jerk(200.0, 0.6, n) + minimum_jerk(200.0, 0.6, n, gap), 200.0)
add("eight strokes", np.abs(np.sin(np.pi * 5 * np.arange(193) / 120)), 120.0)
json.dump({"tool": "numpy", "numpy": np.__version__, "python": sys.version.split()[0],
           "analytic": {"minimum_jerk_spectral_arc": -1.4081775501055558, "minimum_jerk_log_jerk": -float(np.log(1024 / 5))},
           "items": items}, sys.stdout, indent=0)
print()
