"""Naive Bayes and boosted trees of scikit-learn, trained and tried on simulated finds.

Reads two tables that `cargo run --release --example yardsticks` writes (finds to learn from, finds
to be tried on) and prints as JSON, for each method, level and find tried: how many answers stand
above the true one, how many stand level with it (itself among them), and its probability. Knows
nothing of the library; what it has not learnt it cannot name.
"""

import csv
import json
import os
import sys
import time

# One thread, so that on a busy machine none waits for another; set before the libraries are read.
os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
import scipy
import sklearn
from scipy.sparse import csr_matrix, hstack
from sklearn.decomposition import TruncatedSVD
from sklearn.ensemble import HistGradientBoostingClassifier
from sklearn.feature_extraction.text import CountVectorizer, TfidfVectorizer
from sklearn.naive_bayes import MultinomialNB

SEED = 1851
LEVELS = ["type", "ruler", "denomination", "period"]
KINDS = ["metal", "sure", "completeness", "wear", "corrosion", "making", "clipped", "axis", "opinion"]
FIGURES = ["weight", "diameter", "thickness", "axis", "date"]
LETTERS = ["obverse", "reverse", "either"]
# Finds that the trees learn from, by level: their time grows with the number of answers.
TREES = {"period": 20000, "denomination": 8000, "ruler": 8000}
ROUNDS = {"period": 80, "denomination": 25, "ruler": 25}
SMOOTHED = [0.01, 0.03, 0.1]
LEAST = 1e-6


def table(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def words(row):
    """All that was said of a find, as words: measures by steps, motifs by side."""
    said = [f"{kind}={row[kind]}" for kind in KINDS if row[kind]]
    for figure, step in [("weight", 0.08), ("thickness", 0.12)]:
        if row[figure]:
            said.append(f"{figure}~{round(np.log(float(row[figure])) / step)}")
    if row["diameter"]:
        said.append(f"diameter~{round(float(row['diameter']))}")
    if row["date"]:
        said += [f"date={row['date']}", f"decade={row['date'][:-1]}"]
    return said + row["motifs"].split()


def figures(row):
    return [float(row[name]) if row[name] else np.nan for name in FIGURES]


def features(learn, tried):
    """Counts of words and of letters in runs of one to three, for both tables."""
    counted = []
    bag = CountVectorizer(analyzer=words, min_df=4)
    counted.append((bag.fit_transform(learn), bag.transform(tried)))
    for side in LETTERS:
        runs = CountVectorizer(analyzer="char", ngram_range=(1, 3), lowercase=False, min_df=12)
        texts = [[row[side] for row in rows] for rows in (learn, tried)]
        counted.append((runs.fit_transform(texts[0]), runs.transform(texts[1])))
    return tuple(csr_matrix(hstack(parts)) for parts in zip(*counted))


def dense(learn, tried):
    """Figures, kinds by number, and letters and motifs drawn together into a few dozen columns."""
    parts = []
    kinds = {kind: {} for kind in KINDS}
    for rows in (learn, tried):
        columns = [figures(row) for row in rows]
        for column, row in zip(columns, rows):
            for kind in KINDS:
                known = kinds[kind]
                value = known.setdefault(row[kind], len(known)) if row[kind] else np.nan
                column.append(value)
        parts.append([np.array(columns, dtype=float)])
    for side, width in [("obverse", 30), ("reverse", 30), ("either", 10), ("motifs", 40)]:
        if side == "motifs":
            made = TfidfVectorizer(token_pattern=r"\S+", min_df=3)
        else:
            made = TfidfVectorizer(analyzer="char", ngram_range=(1, 3), lowercase=False, min_df=5)
        texts = [[row[side] for row in rows] for rows in (learn, tried)]
        drawn = TruncatedSVD(width, random_state=SEED)
        parts[0].append(drawn.fit_transform(made.fit_transform(texts[0])))
        parts[1].append(drawn.transform(made.transform(texts[1])))
    return tuple(np.hstack(part) for part in parts)


def placed(shares, classes, rows, level):
    """Where the true answer stands for each find."""
    place = {answer: at for at, answer in enumerate(classes)}
    told = []
    for share, row in zip(shares, rows):
        at = place.get(row[level])
        if at is None:
            told.append([len(classes), 1, 0.0])
            continue
        truth = share[at]
        told.append([int((share > truth).sum()), int((share == truth).sum()), float(truth)])
    return told


def bayes(learn, tried, rows, tried_rows, level):
    truth = np.array([row[level] for row in rows])
    # The smoothing is chosen on a twentieth of the finds learnt from.
    held = np.arange(len(rows)) % 20 == 0
    best = None
    # Thousands of answers take long to learn, so at the level of types the first is taken.
    for alpha in SMOOTHED if level != "type" else SMOOTHED[:1]:
        model = MultinomialNB(alpha=alpha).fit(learn[~held], truth[~held])
        answered = model.predict(learn[held])
        right = float((answered == truth[held]).mean())
        if best is None or right > best[0]:
            best = (right, alpha)
    model = MultinomialNB(alpha=best[1]).fit(learn, truth)
    told = []
    for start in range(0, len(tried_rows), 500):
        part = slice(start, start + 500)
        told += placed(model.predict_proba(tried[part]), model.classes_, tried_rows[part], level)
    return told, f"smoothing {best[1]}"


def trees(learn, tried, rows, tried_rows, level):
    count = min(TREES[level], len(rows))
    truth = np.array([row[level] for row in rows[:count]])
    model = HistGradientBoostingClassifier(
        max_iter=ROUNDS[level],
        learning_rate=0.12,
        max_leaf_nodes=15,
        min_samples_leaf=10,
        # Without it hundreds of rare answers throw the trees off altogether.
        l2_regularization=5.0,
        early_stopping=False,
        random_state=SEED,
    ).fit(learn[:count], truth)
    shares = model.predict_proba(tried)
    return placed(shares, model.classes_, tried_rows, level), f"{count:,} finds, {ROUNDS[level]} rounds"


def main(learn_from, tried_on):
    rows, tried_rows = table(learn_from), table(tried_on)
    told = {"methods": [], "finds": len(rows), "seed": SEED}
    told["versions"] = {
        "scikit-learn": sklearn.__version__,
        "numpy": np.__version__,
        "scipy": scipy.__version__,
    }
    learn, tried = features(rows, tried_rows)
    print(f"{learn.shape[1]} words and runs of letters", file=sys.stderr)
    for level in LEVELS[::-1]:
        start = time.monotonic()
        finds, how = bayes(learn, tried, rows, tried_rows, level)
        told["methods"].append(
            {"name": "naive Bayes", "level": level, "how": how, "finds": finds}
        )
        print(f"naive Bayes, {level}: {time.monotonic() - start:.0f} s", file=sys.stderr)
    learn, tried = dense(rows, tried_rows)
    for level in LEVELS[1:]:
        start = time.monotonic()
        finds, how = trees(learn, tried, rows, tried_rows, level)
        told["methods"].append(
            {"name": "boosted trees", "level": level, "how": how, "finds": finds}
        )
        print(f"boosted trees, {level}: {time.monotonic() - start:.0f} s", file=sys.stderr)
    json.dump(told, sys.stdout)


main(sys.argv[1], sys.argv[2])
