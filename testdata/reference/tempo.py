"""Makes tempo.json: note lengths and tempi in exact fractions, and a Lomb-Scargle periodogram by least squares.

Run with the versions named in the result:  python3 tempo.py > tempo.json
Note types are the note-type-value of MusicXML 4.0 (W3C); set-tempo values follow Standard MIDI Files 1.0. The 20 samples
of the periodogram lie on a grid of 0.01 s; astropy 5.2.1 LombScargle(fit_mean=True) gives the same powers.
"""
import json
import sys
from fractions import Fraction

import numpy as np
import scipy
from scipy import signal

types = ["maxima", "long", "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th", "512th",
         "1024th"]
notes = []
for i, name in enumerate(types):
    for dots in range(3):
        q = Fraction(32) / 2 ** i * (2 - Fraction(1, 2 ** dots))
        notes.append({"type": name, "dots": dots, "actual": 0, "normal": 0, "num": q.numerator, "den": q.denominator})
for name, a, b in [("eighth", 3, 2), ("16th", 6, 4), ("16th", 5, 4), ("16th", 7, 4), ("32nd", 9, 8), ("quarter", 3, 2)]:
    q = Fraction(32) / 2 ** types.index(name) * Fraction(b, a)
    notes.append({"type": name, "dots": 0, "actual": a, "normal": b, "num": q.numerator, "den": q.denominator})

tempi = [{"bpm": b, "micros": int(Fraction(60_000_000, b) + Fraction(1, 2))}
         for b in (60, 90, 100, 120, 140, 144, 160, 165, 180, 200, 220, 240, 300, 330)]

t = np.array([0, 7, 19, 28, 41, 49, 62, 66, 81, 94, 103, 111, 127, 133, 146, 158, 164, 179, 188, 201]) / 100
y = np.array([4.0788, 4.6443, 1.0626, 2.7977, 4.6626, 1.2305, 3.3451, 4.6684, 1.3431, 3.7325, 4.4281, 1.8911, 4.736,
              4.5305, .8083, 4.4259, 4.6664, .9917, 3.7865, 3.015])
freq = [.5, 1, 2, 2.8, 3, 3.2, 3.4, 4, 5, 7, 7.1, 9]
floating, fixed = [], []
for f in freq:
    a = np.column_stack([np.cos(2 * np.pi * f * t), np.sin(2 * np.pi * f * t), np.ones_like(t)])
    res = y - a @ np.linalg.lstsq(a, y, rcond=None)[0]
    floating.append(float(1 - res @ res / np.sum((y - y.mean()) ** 2)))
    # Without the floating mean, for comparison: scipy.signal.lombscargle of the centred data, normalised.
    fixed.append(float(signal.lombscargle(t, y - y.mean(), [2 * np.pi * f], normalize=True)[0]))

json.dump({"tool": "python %s, numpy %s, scipy %s" % (sys.version.split()[0], np.__version__, scipy.__version__),
           "notes": notes, "set_tempo": tempi,
           "lombscargle": {"t": t.tolist(), "y": y.tolist(), "hz": freq, "floating_mean": floating, "fixed_mean": fixed}},
          sys.stdout, indent=1)
print()
