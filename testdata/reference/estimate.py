"""Makes estimate.json: block lengths, long-run variances and intervals.

Run with the versions named in the result:  python3 estimate.py > estimate.json
The block length is written out from Politis & White (2004), p. 59-60, with the constant 4/3 of the circular
bootstrap from Patton, Politis & White (2009), by sums over all lags -M..M. The long-run variance uses scipy's DCT-II.
"""
import json
import math
import sys

import numpy as np
import scipy
from scipy import fft, stats


def block_length(x):
    x = np.asarray(x)
    n = len(x)
    e = x - x.mean()
    k_n = max(5, math.ceil(math.sqrt(math.log10(n))))
    m_max = math.ceil(math.sqrt(n)) + k_n
    r = np.correlate(e, e, "full") / n  # lag k at n-1+k
    rho = r / r[n - 1]
    bound = 2 * math.sqrt(math.log10(n) / n)
    big_m = m_max
    for m in range(1, m_max - k_n + 1):
        if all(abs(rho[n - 1 + m + k]) < bound for k in range(1, k_n + 1)):
            big_m = min(2 * m, m_max)
            break
    g_hat = d_hat = 0.0
    for k in range(-big_m, big_m + 1):
        t = abs(k) / big_m
        lam = 1 if t <= .5 else 2 * (1 - t)
        g_hat += lam * abs(k) * r[n - 1 + k]
        d_hat += lam * r[n - 1 + k]
    b = (2 * g_hat ** 2 / (4 / 3 * d_hat ** 2)) ** (1 / 3) * n ** (1 / 3)
    return max(1.0, min(b, math.ceil(min(3 * math.sqrt(n), n / 3))))


def long_run(x):
    n = len(x)
    q = min(max(4, round(.4 * n ** (2 / 3))), 48, n - 1)
    c = fft.dct(np.asarray(x), type=2, norm="ortho")
    return float(np.mean(c[1:q + 1] ** 2)), q


def series(n, rho, theta, seed):
    rng = np.random.RandomState(seed)
    e = rng.standard_normal(n + 51)
    x = np.zeros(n + 51)
    for i in range(1, n + 51):
        x[i] = rho * x[i - 1] + e[i] + theta * e[i - 1]
    return [round(float(v), 4) for v in x[51:]]


items = []
for name, x in [
    ("white, n=60", series(60, 0, 0, 1)),
    ("autoregressive 0.5, n=200", series(200, .5, 0, 2)),
    ("autoregressive 0.9, n=300", series(300, .9, 0, 3)),
    ("autoregressive -0.6, n=120", series(120, -.6, 0, 4)),
    ("moving average -0.8, n=150", series(150, 0, -.8, 5)),
    ("short, n=12", series(12, .3, 0, 6)),
    ("five, n=5", series(5, 0, 0, 7)),
]:
    v, q = long_run(x)
    half = float(stats.t.ppf(.975, q) * math.sqrt(v / len(x)))
    items.append({"name": name, "x": x, "block": block_length(x) if len(x) >= 10 else 1.0,
                  "long_run": v, "df": q, "mean": float(np.mean(x)), "half95": half})

medians = []  # largest k with 2 P(Bin(n, 1/2) < k) <= 1 - level
for n in (5, 6, 9, 20, 101, 1000):
    for level in (.9, .95, .99):
        k = max([k for k in range(0, n // 2 + 1) if 2 * stats.binom.cdf(k - 1, n, .5) <= 1 - level + 1e-15])
        medians.append({"n": n, "level": level, "k": k, "exact": 1 - 2 * float(stats.binom.cdf(k - 1, n, .5))})

json.dump({"tool": "python %s, numpy %s, scipy %s" % (sys.version.split()[0], np.__version__, scipy.__version__),
           "series": items, "median_ranks": medians}, sys.stdout, indent=1)
print()
