"""Makes filter.json: what scipy and numpy give for trajectory/filter.

Run with the versions named in the result:  python3 filter.py > filter.json
"""
import json
import math
import sys
from fractions import Fraction

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



def savgol_exact(before, after, degree, derivative):
    """Coefficients by exact least squares: numerators and their denominator."""
    t = [Fraction(i) for i in range(-before, after + 1)]
    n = degree + 1
    rows = [[sum(v ** (r + c) for v in t) for c in range(n)]
            + [Fraction(int(r == derivative))] for r in range(n)]
    for c in range(n):  # Gauss-Jordan on the normal equations
        p = next(r for r in range(c, n) if rows[r][c])
        rows[c], rows[p] = rows[p], rows[c]
        rows[c] = [v / rows[c][c] for v in rows[c]]
        for r in range(n):
            if r != c:
                rows[r] = [a - rows[r][c] * b for a, b in zip(rows[r], rows[c])]
    w = [math.factorial(derivative) * sum(rows[k][n] * v ** k for k in range(n)) for v in t]
    d = math.lcm(*(v.denominator for v in w))
    return [int(v * d) for v in w], d


# Savitzky & Golay (1964) Anal. Chem. 36, 1627-1639, with the corrections of
# Steinier, Termonia & Deltour (1972) Anal. Chem. 44, 1906: window, degrees,
# derivative, numerators, denominator. (Copied from a compilation, table numbers
# not at hand; each row is checked here against exact arithmetic.)
published = [
    (5, (2, 3), 0, [-3, 12, 17, 12, -3], 35),
    (7, (2, 3), 0, [-2, 3, 6, 7, 6, 3, -2], 21),
    (9, (2, 3), 0, [-21, 14, 39, 54, 59, 54, 39, 14, -21], 231),
    (11, (2, 3), 0, [-36, 9, 44, 69, 84, 89, 84, 69, 44, 9, -36], 429),
    (7, (4, 5), 0, [5, -30, 75, 131, 75, -30, 5], 231),
    (9, (4, 5), 0, [15, -55, 30, 135, 179, 135, 30, -55, 15], 429),
    (11, (4, 5), 0, [18, -45, -10, 60, 120, 143, 120, 60, -10, -45, 18], 429),
    (5, (1, 2), 1, [-2, -1, 0, 1, 2], 10),
    (7, (1, 2), 1, [-3, -2, -1, 0, 1, 2, 3], 28),
    (9, (1, 2), 1, [-4, -3, -2, -1, 0, 1, 2, 3, 4], 60),
    (11, (1, 2), 1, [-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5], 110),
    (5, (3, 4), 1, [1, -8, 0, 8, -1], 12),
    (7, (3, 4), 1, [22, -67, -58, 0, 58, 67, -22], 252),
    (9, (3, 4), 1, [86, -142, -193, -126, 0, 126, 193, 142, -86], 1188),
    (11, (3, 4), 1, [300, -294, -532, -503, -296, 0, 296, 503, 532, 294, -300], 5148),
    (5, (2, 3), 2, [2, -1, -2, -1, 2], 7),
    (7, (2, 3), 2, [5, 0, -3, -4, -3, 0, 5], 42),
    (9, (2, 3), 2, [28, 7, -8, -17, -20, -17, -8, 7, 28], 462),
    (11, (2, 3), 2, [15, 6, -1, -6, -9, -10, -9, -6, -1, 6, 15], 429),
    (7, (4, 5), 2, [-13, 67, -19, -70, -19, 67, -13], 132),
    (5, (3, 4), 3, [-1, 2, 0, -2, 1], 2),
    (7, (3, 4), 3, [-1, 1, 1, 0, -1, -1, 1], 6),
]
tables = []
for window, degrees, derivative, numerators, denominator in published:
    for degree in degrees:
        n, d = savgol_exact(window // 2, window // 2, degree, derivative)
        assert [Fraction(v, d) for v in n] == [Fraction(v, denominator) for v in numerators]
        tables.append(dict(window=window, degree=degree, derivative=derivative,
                           numerators=numerators, denominator=denominator))

exact = []  # beyond the tables: wide windows, high degrees
for window, degree in [(3, 1), (13, 12), (15, 6), (21, 3), (31, 8), (61, 4), (101, 3), (101, 12), (255, 5)]:
    for derivative in sorted({0, 1, 2, degree}):
        if derivative <= degree:
            n, d = savgol_exact(window // 2, window // 2, degree, derivative)
            exact.append(dict(window=window, degree=degree, derivative=derivative,
                              coefficients=[float(Fraction(v, d)) for v in n]))

savgol = []
for window, degree, derivative, fs in [(5, 2, 0, 100), (7, 3, 0, 100), (7, 3, 1, 100), (7, 2, 1, 100), (9, 4, 2, 100),
                                       (11, 3, 1, 240), (23, 5, 3, 50), (3, 1, 1, 100), (5, 4, 4, 10)]:
    savgol.append(dict(window=window, degree=degree, derivative=derivative, fs=fs, x=x24,
                       y=signal.savgol_filter(x24, window, degree, derivative, 1 / fs, mode="interp").tolist()))
for n, window, degree, derivative, fs in [(6, 7, 3, 0, 100), (6, 11, 3, 1, 100), (4, 9, 2, 1, 100), (5, 9, 2, 2, 10),
                                          (4, 7, 3, 0, 100), (3, 7, 3, 1, 100), (2, 7, 3, 1, 100)]:
    # shorter than the window, which scipy refuses: one polynomial for all
    p = np.polynomial.Polynomial.fit(np.arange(n), x24[3:3 + n], min(degree, n - 1))
    savgol.append(dict(window=window, degree=degree, derivative=derivative, fs=fs, x=x24[3:3 + n],
                       y=(p.deriv(derivative)(np.arange(n)) * fs ** derivative).tolist()))

json.dump(dict(tool=f"scipy {scipy.__version__}, numpy {np.__version__}", script="filter.py",
               coefficients=coefficients, filtfilt=filtfilt, causal=causal,
               residual=residual, gradient=gradient, even=even,
               savgol_tables=tables, savgol_exact=exact, savgol=savgol), sys.stdout, indent=1)
print()
