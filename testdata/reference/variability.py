"""Makes variability.json: what scipy gives for variability.

Run with the versions named in the result:  python3 variability.py > variability.json
Effect sizes and exact permutations are spelled out here from their definitions.
"""
import itertools
import json
import math
import sys

import numpy as np
import scipy
from scipy import stats

early = [.42, .38, .51, .47, .40, .55, .36, .49]
late = [.31, .29, .33, .30, .34, .28, .32, .31]
# Student's sleep data; Efron & Tibshirani (1993), mouse data, treatment and control.
sleep = [[.7, -1.6, -.2, -1.2, -.1, 3.4, 3.7, .8, 0, 2],
         [1.9, .8, 1.1, .1, -.1, 4.4, 5.5, 1.6, 4.6, 3.4]]
mouse = [[94, 197, 16, 38, 99, 141, 23], [52, 104, 146, 10, 51, 30, 40, 27, 46]]
cliff = [[10, 10, 20, 20, 20, 30, 30, 30, 40, 50], [10, 20, 30, 40, 40, 50]]


def hedges(a, b):
    nu = len(a) + len(b) - 2
    s = math.sqrt((np.var(a) * len(a) + np.var(b) * len(b)) / nu)
    j = math.gamma(nu / 2) / (math.sqrt(nu / 2) * math.gamma((nu - 1) / 2))
    return j * (np.mean(b) - np.mean(a)) / s


def delta(a, b):
    return float(np.mean(np.sign(np.subtract.outer(b, a))))


def permutation(a, b):
    """Two-sided share of all deals with a difference of means at least as large."""
    both = [int(v) for v in a + b]  # whole numbers, so that ties are exact
    n, m = len(a), len(b)
    far = abs(sum(a) * m - sum(b) * n)
    hits = total = 0
    for c in itertools.combinations(both, n):
        s = sum(c)
        hits += abs(s * m - (sum(both) - s) * n) >= far
        total += 1
    return hits, total


def pair(name, a, b):
    w, p = stats.levene(a, b, center="median")
    return dict(name=name, a=a, b=b, levene=w, p=p, g=hedges(a, b), delta=delta(a, b),
                cv=[float(np.std(v, ddof=1) / np.mean(v)) for v in (a, b)],
                mad=[float(stats.median_abs_deviation(v, scale="normal")) for v in (a, b)])


hits, total = permutation(*mouse)
json.dump(dict(tool=f"scipy {scipy.__version__}, numpy {np.__version__}", script="variability.py",
               pairs=[pair("early and late", early, late), pair("sleep", *sleep),
                      pair("mouse", *mouse), pair("cliff", *cliff)],
               mouse=dict(hits=hits, total=total),
               ), sys.stdout, indent=1)
print()
