"""Makes robust.json: trends by scipy, quantiles by numpy, exact Kendall tails by enumeration.

Run with the versions named in the result:  python3 robust.py > robust.json
The Nile data are R datasets::Nile (annual flow at Aswan 1871-1970, 1e8 m3). The Mann-Kendall results agree with R's trend
1.1.6, the quantiles with R 4.2.2 quantile(type = 7).
"""
import itertools
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


def trend(name, y, x=None):
    n = len(y)
    s = sum(int(np.sign(y[j] - y[i])) for i in range(n) for j in range(i + 1, n))
    _, t = np.unique(y, return_counts=True)
    var = (n * (n - 1) * (2 * n + 5) - int(np.sum(t * (t - 1) * (2 * t + 5)))) / 18
    z = (s - np.sign(s)) / math.sqrt(var) if s else 0.0
    x = list(range(n)) if x is None else x
    slope, intercept, lo, hi = stats.theilslopes(y, x, .95)
    pairs = sum(1 for i in range(n) for j in range(n) if x[i] < x[j])
    _, tx = np.unique(x, return_counts=True)
    sigma = math.sqrt((n * (n - 1) * (2 * n + 5) - sum(int(np.sum(u * (u - 1) * (2 * u + 5))) for u in (t, tx))) / 18)
    c = stats.norm.ppf(.975) * sigma
    inside = round((pairs - c) / 2) - 1 >= 0 and round((pairs + c) / 2) < pairs
    return {"name": name, "x": list(x), "y": list(y), "s": s, "var": var, "z": float(z),
            "p": float(2 * stats.norm.sf(abs(z))), "tau": float(stats.kendalltau(range(n), y).statistic),
            "slope": float(slope), "intercept": float(intercept),
            "low": float(lo) if inside else None, "high": float(hi) if inside else None,
            "siegel": [float(v) for v in stats.siegelslopes(y, x)]}


rng = np.random.RandomState(3)
uneven = sorted(round(float(v), 3) for v in rng.uniform(0, 40, 250))
trends = [
    trend("nile", nile, list(range(1, 101))),
    trend("ties", [23, 24, 29, 6, 29, 24, 31, 24, 23, 26, 30, 28], list(range(1, 13))),
    trend("one outlier", [1, 2, 3, 4, 5, 16, 7], list(range(1, 8))),
    trend("cloud seeding", [1.26, 1.27, 1.12, 1.16, 1.03], list(range(1, 6))),
    trend("four, no interval", [10, 15, 14, 20], list(range(1, 5))),
    trend("uneven x", [round(.05 * t + float(rng.standard_normal()), 3) for t in uneven], uneven),
    trend("grid with ties in both", [int(rng.randint(0, 6)) for _ in range(260)], [i // 4 for i in range(260)]),
]
tails = []
for n in range(2, 9):
    counts = {}
    for p in itertools.permutations(range(n)):
        s = sum(1 if p[j] > p[i] else -1 for i in range(n) for j in range(i + 1, n))
        counts[s] = counts.get(s, 0) + 1
    for s in sorted(counts):
        if s >= 0:
            tails.append({"n": n, "s": s, "count": sum(c for k, c in counts.items() if k >= s), "total": math.factorial(n)})
# n=10 from counting by recurrence: 690778 and 131635 of 3628800.
tails += [{"n": 10, "s": 11, "count": 690778, "total": 3628800}, {"n": 10, "s": 21, "count": 131635, "total": 3628800}]

q = [2.1, 3.4, 1.9, 5.6, 7.8, 4.4, 3.3, 9.1, 2.8, 6.0]
ps = [0, .05, .1, .25, .5, .75, .9, .95, 1]
json.dump({"tool": "python %s, numpy %s, scipy %s" % (sys.version.split()[0], np.__version__, scipy.__version__),
           "trends": trends, "tails": tails,
           "quantiles": {"x": q, "p": ps, "q": [float(v) for v in np.quantile(q, ps)],
                         "mad": float(stats.median_abs_deviation(q)),
                         "scale": float(stats.median_abs_deviation(q, scale="normal"))}}, sys.stdout, indent=1)
print()
