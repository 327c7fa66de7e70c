"""Makes settling.json: hidden Markov chains and breaks in the mean, by enumeration.

Run with any Python 3, which needs nothing else:  python3 settling.py > settling.json

Chains: every path is enumerated, no recursion used. "umbrella" is the example of Russell & Norvig, Artificial
Intelligence, ch. 15 (transitions 0.7/0.3, umbrella seen on 0.9 of rainy and 0.2 of dry days, seen, seen, not, seen, seen;
smoothed rain of day 1 is their 0.883 after two days, the five-day figures are those of the forward-backward page of the
English Wikipedia; both from memory). "fever" is the example of the Viterbi algorithm page there (healthy 0, fever 1;
normal, cold, dizzy; path healthy, healthy, fever with probability 0.01512; from memory). "gaussian" has no publisher.

Breaks: every way to place them with at least minlen values on either side. "nile" is the annual flow of the Nile 1871-1970
(Cobb 1978, Biometrika 65:243-251; R datasets::Nile). R strucchange 1.5-3 gives the same: one break at 28, RSS 2835156.75
and 1597457.19444, BIC 1318.24181 for none, 1270.08374 for one, 1276.46670 for two. "steps" is three plateaus, made up.
"""
import itertools
import json
import math
import sys


def chain(start, move, emit):
    """emit[i][s]: log-density of observation i in state s."""
    total, best, path, post = 0.0, -math.inf, None, [0.0] * len(emit)
    for p in itertools.product((0, 1), repeat=len(emit)):
        lp = math.log(start[p[0]]) + sum(math.log(move[a][b]) for a, b in zip(p, p[1:]))
        lp += sum(e[s] for e, s in zip(emit, p))
        w = math.exp(lp)
        total += w
        for i, s in enumerate(p):
            post[i] += w * s
        if lp > best:
            best, path = lp, p
    return {"start": start, "move": move, "emit": emit, "loglik": math.log(total), "posterior": [x / total for x in post],
            "path": [bool(s) for s in path], "logprob": best}


def discrete(name, start, move, table, seen):
    return {"name": name, **chain(start, move, [[math.log(table[s][o]) for s in (0, 1)] for o in seen])}


def gaussian():
    x = [-0.3, 0.5, 1.2, 2.6, 3.4, 2.9, 1.6, 0.1, -0.7, 0.4]
    emit = [[-0.5 * ((v - m) / s) ** 2 - math.log(s * math.sqrt(2 * math.pi)) for m, s in ((0, 1), (3, 0.8))] for v in x]
    return {"name": "gaussian", **chain([0.6, 0.4], [[0.9, 0.1], [0.2, 0.8]], emit)}


def rss(y):
    m = math.fsum(y) / len(y)
    return math.fsum((v - m) ** 2 for v in y)


def breaks(name, y, most, minlen):
    n, out = len(y), []
    for k in range(most + 1):
        best = (math.inf, ())
        for at in itertools.combinations(range(1, n), k):
            edges = (0, *at, n)
            if all(b - a >= minlen for a, b in zip(edges, edges[1:])):
                best = min(best, (sum(rss(y[a:b]) for a, b in zip(edges, edges[1:])), at))
        bic = n * (math.log(2 * math.pi * best[0] / n) + 1) + math.log(n) * 2 * (k + 1)
        out.append({"at": list(best[1]), "rss": best[0], "bic": bic})
    return {"name": name, "y": y, "minlen": minlen, "best": out}


NILE = [1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140, 1100,
        1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456,
        824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897,
        822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923, 975,
        815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740]
STEPS = [.2, -.1, .3, 0, -.2, .1, 3.1, 2.8, 3, 3.3, 2.9, 3.2, 2.7, 1, 1.2, .8, 1.1, .9, 1.3, 1]

json.dump({
    "made_by": f"settling.py, Python {sys.version.split()[0]}",
    "chains": [
        discrete("umbrella", [.5, .5], [[.7, .3], [.3, .7]], [[.2, .8], [.9, .1]], [0, 0, 1, 0, 0]),
        discrete("fever", [.6, .4], [[.7, .3], [.4, .6]], [[.5, .4, .1], [.1, .3, .6]], [0, 1, 2]),
        gaussian(),
    ],
    "breaks": [breaks("nile", NILE, 2, 15), breaks("steps", STEPS, 2, 5)],
}, sys.stdout, indent=1)
print()
