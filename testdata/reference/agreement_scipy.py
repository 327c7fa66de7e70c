"""Makes agreement_scipy.json: generalised intervals of the intraclass correlation (2,1) by drawing.

Run with the versions named in the result:  /usr/bin/python3 agreement_scipy.py > agreement_scipy.json
Each sum of squares of the two-way analysis of variance is divided by chi-squared variables (Weerahandi 1993, JASA 88,
899-905), and the quantiles of the coefficient of what comes out are taken, of 4 million draws: a standard error of 0.0003 to
0.002 of the bounds. A bound below 0 counts as 0.
"""
import json
import sys

import numpy as np
import scipy
from scipy import stats

tables = {"Shrout and Fleiss 1979": [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]],
          "two columns": [[1.0, 1.5], [3.0, 4.0], [2.0, 2.8], [5.0, 5.1], [4.4, 4.0]],
          "three columns": [[1, 2, 3], [2, 1, 3], [1, 1, 2], [4, 6, 5]],
          "many": [[12, 11, 14, 13, 12], [15, 17, 18, 15, 16], [9, 8, 11, 10, 10], [20, 19, 22, 20, 23], [14, 14, 15, 13, 17],
                   [11, 10, 14, 12, 12], [17, 16, 17, 18, 19]]}
out = []
for name, rows in tables.items():
    x = np.array(rows, dtype=float)
    n, k = x.shape
    row = k * ((x.mean(1) - x.mean()) ** 2).sum()
    column = n * ((x.mean(0) - x.mean()) ** 2).sum()
    rest = ((x - x.mean()) ** 2).sum() - row - column
    draws, rng = 4_000_000, np.random.default_rng(20)
    r = row / stats.chi2.rvs(n - 1, size=draws, random_state=rng)
    c = column / stats.chi2.rvs(k - 1, size=draws, random_state=rng)
    e = rest / stats.chi2.rvs((n - 1) * (k - 1), size=draws, random_state=rng)
    between, raters = (r - e) / k, (c - e) / n
    low, high = np.quantile(between / (between + raters + e), [.025, .975])
    out.append({"name": name, "table": rows, "low": max(0, round(float(low), 5)), "high": max(0, round(float(high), 5))})
json.dump({"tool": "python %s, numpy %s, scipy %s" % (sys.version.split()[0], np.__version__, scipy.__version__),
           "tables": out}, sys.stdout, indent=1)
print()
