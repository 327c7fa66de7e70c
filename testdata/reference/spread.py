"""Makes spread.json: comparisons and trends of series whose neighbours are alike, in numpy.

Run with the versions named in the result:  python3 spread.py > spread.json
No library has the estimators as package variability has them, so the formulas of its comments are spelled out here a second
time, with matrices; Student's t, ranks and trimmed means are scipy's. The Nile data are R datasets::Nile; the other series
come from a linear congruential generator, so that no version of numpy changes them.
"""
import json
import math
import sys

import numpy as np
import scipy
from scipy import stats

nile = [1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140,
        1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969,
        831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759,
        781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890,
        744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740]


def made(n, phi, state):
    x, v = [], 0.0
    for _ in range(n):
        u = 0
        for _ in range(12):
            state = (state * 1103515245 + 12345) % 2**31
            u += state / 2**31
        v = phi * v + (u - 6)
        x.append(round(v, 4))
    return x


def longrun(x, least=-1.0, line=0):
    x = np.asarray(x, float)
    n = len(x)
    d = x - x.mean()
    r = (d[1:] @ d[:-1]) / (d @ d)
    r = min(max(r + (1 + line + 4 * r) / n, -.97), .97)
    r = max(r, min(least, .97))
    q = min(max(4, round(.55 * math.sqrt(n))), 6)
    cosines = np.cos(math.pi * np.outer(np.arange(n - 1) + .5, np.arange(1, q + 1)) / (n - 1))
    power = [(((e - e.mean()) @ cosines)**2 * 2 / (n - 1)).sum() for e in (d[1:] - r * d[:-1], d[:-1] - r * d[1:])]
    return sum(power) / 2 / (q - line) / (1 - r)**2, q - line


def likeness(x):
    d = np.asarray(x) - np.mean(x)
    r = (d[1:] @ d[:-1]) / (d @ d)
    return min(max(r + (1 + 4 * r) / len(d), -.97), .97)


def welch(a, b):
    (va, qa), (vb, qb) = longrun(a), longrun(b)
    va, vb = va / len(a), vb / len(b)
    return math.sqrt(va + vb), (va + vb)**2 / (va**2 / qa + vb**2 / qb)


def early_late(x, n):
    a, b = np.array(x[:n]), np.array(x[-n:])
    se, df = welch(a, b)
    half = stats.t.ppf(.975, df) * se
    d = b.mean() - a.mean()
    g = int(.2 * n)
    winsor = [np.asarray(stats.mstats.winsorize(v, (g / n + 1e-9, g / n + 1e-9))) / (1 - 2 * g / n) for v in (a, b)]
    tse, tdf = welch(*winsor)
    td = float(stats.trim_mean(b, .2) - stats.trim_mean(a, .2))
    thalf = stats.t.ppf(.975, tdf) * tse
    arms = []
    for v in (a, b):
        z = (v - v.mean()) / v.std(ddof=1)
        r = likeness(v)
        V, q = longrun((z * z - 1) / 2, r * abs(r))
        arms.append(stats.t.ppf(.975, q) * math.sqrt(V / n))
    ratio = b.std(ddof=1) / a.std(ddof=1)
    arm = math.hypot(*arms)
    da, db = (np.abs(v - np.median(v)) for v in (a, b))
    sse, sdf = welch(da, db)
    t = (db.mean() - da.mean()) / sse
    return dict(x=list(x), n=n, difference=[d, d - half, d + half], trimmed=[td, td - thalf, td + thalf],
                ratio=[ratio, ratio * math.exp(-arm), ratio * math.exp(arm)], statistic=t * t, p=2 * stats.t.sf(abs(t), sdf))


def trend(x):
    x = np.asarray(x, float)
    n = len(x)
    i, k = np.triu_indices(n, 1)
    slopes = np.sort((x[k] - x[i]) / (k - i))
    slope = np.median(slopes)
    s = np.sign(x[k] - x[i]).sum()
    _, ties = np.unique(x, return_counts=True)
    var = (n * (n - 1) * (2 * n + 5) - (ties * (ties - 1) * (2 * ties + 5)).sum()) / 18
    u = stats.rankdata(x - slope * np.arange(n))
    V, df = longrun(u, line=1)
    alike = V / u.var()
    sd = math.sqrt(var * alike)
    m = n * (n - 1) // 2
    low = int(np.rint((m - stats.t.ppf(.975, df) * sd) / 2)) - 1
    return dict(x=[float(v) for v in x], slope=[slope, slopes[low], slopes[m - 1 - low]], alike=alike, p=2 * stats.t.sf(abs(s) / sd, df))


json.dump(dict(tool=f"python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}", script="spread.py",
               early_late=[early_late(made(90, .5, 1), 30), early_late(made(400, .8, 2), 130)],
               trend=[trend(nile), trend(made(45, .3, 3)), trend(made(300, .7, 4))]), sys.stdout, indent=1)
print()
