"""Makes filter.json: what scipy and numpy give for trajectory/filter.

Run with the versions named in the result:  python3 filter.py > filter.json
"""
import json
import sys

import numpy as np
import scipy
from scipy import signal

x24 = [0, .4, 1.3, 2.1, 3.9, 5.2, 6.1, 5.8, 7.4, 8.3, 7.9, 9.1, 8.6, 7.2, 6.9,
       5.0, 4.4, 3.1, 1.2, .3, -.8, -1.1, -.9, .6]
C = (np.sqrt(2) - 1) ** .25


def corrected(fc, fs):
    """Cut-off of butter() whose prewarped frequency is 1/C higher."""
    return np.arctan(np.tan(np.pi * fc / fs) / C) * fs / np.pi


coefficients = []
for fs, fc in [(60, 6), (100, 6), (100, 10), (100, 12), (120, 6), (120, 12),
               (200, 6), (200, 10), (200, 15), (200, 20), (240, 12), (240, 20),
               (240, 30), (500, 20), (1000, 6), (1000, 50), (30, 5), (60, 12)]:
    b, a = signal.butter(2, fc / (fs / 2))
    bc, ac = signal.butter(2, corrected(fc, fs) / (fs / 2))
    coefficients.append(dict(fs=fs, fc=fc, b=b.tolist(), a=a.tolist(),
                             b_corrected=bc.tolist(), a_corrected=ac.tolist()))

filtfilt = []
for fs, fc, dual in [(100, 10, False), (100, 6, False), (240, 12, False),
                     (100, 10, True)]:
    b, a = signal.butter(2, (corrected(fc, fs) if dual else fc) / (fs / 2))
    for n in (24, 10):
        x = np.array(x24[:n])
        filtfilt.append(dict(fs=fs, fc=fc, corrected=dual, padlen=9, x=x.tolist(),
                             y=signal.filtfilt(b, a, x).tolist()))
    for n in (9, 5, 3, 2):  # shorter than scipy's own padding
        x = np.array(x24[3:3 + n])
        filtfilt.append(dict(fs=fs, fc=fc, corrected=dual, padlen=n - 1, x=x.tolist(),
                             y=signal.filtfilt(b, a, x, padlen=n - 1).tolist()))

causal = []
for fs, fc in [(100, 10), (100, 6), (240, 12)]:
    b, a = signal.butter(2, fc / (fs / 2))
    for x in (x24, x24[5:]):
        x = np.array(x, float)
        y, _ = signal.lfilter(b, a, x, zi=signal.lfilter_zi(b, a) * x[0])
        causal.append(dict(fs=fs, fc=fc, x=x.tolist(), y=y.tolist()))


def lcg(n, state=12345):
    while True:
        e = -6.0
        for _ in range(12):
            state = (1103515245 * state + 12345) % 2 ** 31
            e += state / 2 ** 31
        yield e


fs, n = 200, 300
t = np.arange(n) / fs
noise = lcg(n)
y = (20 * np.sin(2 * np.pi * 3 * t) + 4 * np.sin(2 * np.pi * 6.5 * t + .7)
     + .5 * np.array([next(noise) for _ in range(n)]))
hz = np.arange(1, 41)
rms = []
for fc in hz:
    b, a = signal.butter(2, corrected(fc, fs) / (fs / 2))
    rms.append(np.sqrt(np.mean((y - signal.filtfilt(b, a, y)) ** 2)))
slope, intercept = np.polyfit(hz[19:], rms[19:], 1)
i = next(i for i in range(40) if rms[i] <= intercept)
cut = hz[i - 1] + (rms[i - 1] - intercept) / (rms[i - 1] - rms[i])
residual = dict(fs=fs, y=y.tolist(), rms=rms, intercept=intercept, slope=slope, cutoff=cut)

gradient = []
for t, x in [([0, .1, .25, .3, .5], [1, 1.01, 1.0625, 1.09, 1.25]),
             ([0, .1, .15, .3, .42, .5, .61, .8, .95, 1], [0, .2, .9, 1.4, 1.1, 1, 1.3, 2.2, 2.1, 2])]:
    gradient.append(dict(t=t, x=x, y=np.gradient(x, t, edge_order=2).tolist()))
x = np.sin(2 * np.pi * 2 * np.arange(11) / 64)
even = dict(fs=64, x=x.tolist(), y=np.gradient(x, 1 / 64, edge_order=2).tolist())

json.dump(dict(tool=f"scipy {scipy.__version__}, numpy {np.__version__}", script="filter.py",
               coefficients=coefficients, filtfilt=filtfilt, causal=causal,
               residual=residual, gradient=gradient, even=even), sys.stdout, indent=1)
print()
