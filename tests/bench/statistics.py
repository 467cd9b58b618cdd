"""The live set and the core of the full set in NumPy and SciPy, for a ratio in the same run.

Reads {"cells": [[number|null]], "sections": [...], "runs": n} on stdin, prints one JSON line: median
milliseconds of each set, and the figures themselves, so that the bench can see that both computed the same.
"""
import json
import sys
import time

import numpy as np
from scipy import stats

question = json.load(sys.stdin)
X = np.array([[np.nan if x is None else float(x) for x in row] for row in question["cells"]])
SECTIONS = question["sections"]
HAVE = ~np.isnan(X)


def alpha_ordinal(x):
    values = np.unique(x[~np.isnan(x)])
    counts = np.stack([(x == v).sum(1) for v in values], 1).astype(float)
    counts = counts[counts.sum(1) >= 2]
    m = counts.sum(1, keepdims=True)
    o = (counts / (m - 1)).T @ counts - np.diag((counts / (m - 1)).sum(0))
    n = o.sum(0)
    middle = np.cumsum(n) - n / 2
    d = (middle[:, None] - middle[None, :]) ** 2
    return 1 - (n.sum() - 1) * (o * d).sum() / (np.outer(n, n) * d).sum()


def flags(x):
    found = 0
    for row in x:
        v = row[~np.isnan(row)]
        if len(v) < 2:
            continue
        lone = max(abs(v[i] - np.median(np.delete(v, i))) for i in range(len(v)))
        split = np.abs(v - np.median(v)).mean() > 1 + 1e-9
        found += lone >= 2.5 - 1e-9 or split
    return int(found)


def composite(values):
    total = weight = 0.0
    for s in SECTIONS:
        v = values[s["rows"]]
        v = v[~np.isnan(v)]
        if len(v):
            total += s["weight"] * v.mean()
            weight += s["weight"]
    return total / weight


def live():
    return flags(X), alpha_ordinal(X), composite(np.nanmedian(X, axis=1))


def reml(x):
    """Average-information REML on the dense covariance, task and reviewer random."""
    i, j = np.nonzero(~np.isnan(x))
    y = x[i, j]
    zs = [(i[:, None] == i[None, :]).astype(float), (j[:, None] == j[None, :]).astype(float), np.eye(len(y))]
    s = np.full(3, y.var() / 3)
    one = np.ones((len(y), 1))
    for step in range(60):
        v = sum(a * z for a, z in zip(s, zs))
        vi = np.linalg.inv(v)
        p = vi - vi @ one @ np.linalg.inv(one.T @ vi @ one) @ one.T @ vi
        py = p @ y
        score = np.array([-0.5 * ((p * z).sum() - py @ z @ py) for z in zs])
        zp = [z @ py for z in zs]
        info = np.array([[0.5 * a @ p @ b for b in zp] for a in zp])
        move = np.linalg.solve(info, score)
        s = np.maximum(s + move, s / 10)
        if np.abs(move).max() < 1e-10 * s.sum():
            break
    return s.tolist()


def full():
    live()
    complete = X[HAVE.all(1)]
    n, k = complete.shape
    grand = complete.mean()
    msb = k * ((complete.mean(1) - grand) ** 2).sum() / (n - 1)
    msj = n * ((complete.mean(0) - grand) ** 2).sum() / (k - 1)
    rest = complete - complete.mean(1, keepdims=True) - complete.mean(0, keepdims=True) + grand
    mse = (rest**2).sum() / ((n - 1) * (k - 1))
    single = (msb - mse) / (msb + (k - 1) * mse + k * (msj - mse) / n)
    stats.f.ppf(0.975, n - 1, (n - 1) * (k - 1))
    chi2, _ = stats.friedmanchisquare(*complete)
    i, j = np.nonzero(HAVE)
    design = np.zeros((len(i), X.shape[0] + X.shape[1] - 1))
    design[np.arange(len(i)), i] = 1
    seen = j > 0
    design[np.nonzero(seen)[0], X.shape[0] + j[seen] - 1] = 1
    effects = np.linalg.lstsq(design, X[i, j], rcond=None)[0]
    for c in range(X.shape[1]):
        composite(np.nanmean(np.delete(X, c, 1), axis=1))
    return {"icc": single, "chi2": chi2, "reml": reml(X), "effects": len(effects)}


def timed(work, runs):
    taken = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        taken.append(1000 * (time.perf_counter() - start))
    return float(np.median(taken))


found, alpha, value = live()
print(json.dumps({
    "live": timed(live, question["runs"]),
    "full": timed(full, question["runs"]),
    "flagged": found,
    "alpha": alpha,
    "composite": value,
    **full(),
    "versions": f"NumPy {np.__version__}, SciPy " + __import__("scipy").__version__,
}))
