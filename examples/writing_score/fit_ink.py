"""Fits the trees that tell ink from what is none, and prints them as a table of `src/measure/parts`.

Wants NumPy and scikit-learn 1.9, and figures of drawn frames. First the trees that look at a piece by itself:

    for seed in $(seq 1000 1089) $(seq 1100 1165); do
      cargo run --release --example writing_score -- --each 2 --seed $seed --photographs album --figures own.tsv
    done
    python examples/writing_score/fit_ink.py own own.tsv > src/measure/parts/ink_tree_table.rs

Then those that weigh its company as well, which is what the first ones say of other pieces. What these say of frames that they
were fitted to is too good, so it takes others: the seeds 1500 to 1629 and 1800 to 1959, 2 of 3 with the album.

    python examples/writing_score/fit_ink.py company company.tsv > src/measure/parts/company_tree_table.rs

The album of the shipped tables: five cut-outs of three people from official portraits (four test pictures of
face_recognition 1.3.0, and `astronaut.png` of scikit-image 0.19.3), and as prints nineteen sample pictures of opencv-doc
4.6.0. On other people and prints, false writing over them fell from 0.2 and 0.5 % of what could be taken for it to 0.1 and
0.2 % when these were among the drawn ones.

Trees are boosted by gradients (J. H. Friedman, Greedy function approximation, Annals of Statistics 29, 2001). Where it
is known which way a figure speaks, trees may not say otherwise: brighter, sharper and more slender is more like ink, and so is
what has better company. Without that, and with fewer pieces a leaf, they fit drawn frames better and photographs worse. The
second trees are held to it only in what concerns company: what the first ones said counts among it.
"""

import sys

import numpy as np
from sklearn.ensemble import HistGradientBoostingClassifier

NAMES = """brightness strength darker open mirrored worn beside_other slenderness skin_hue saturation fill sharpness
evenness dark_around lit_around length width elongation glow over pale ink_seen backing convexity""".split()
FOR_INK = {"brightness", "strength", "slenderness", "saturation", "sharpness", "glow", "ink_seen", "backing"}
AGAINST_INK = {"darker", "open", "mirrored", "worn", "beside_other", "skin_hue", "fill", "evenness", "convexity"}
COMPANY = "alone near_alike near_pen far far_class far_pen far_for far_against ink_color ink_width".split()
FOR_INK_BY_COMPANY = {"alone", "near_alike", "near_pen", "far", "far_class", "far_pen"}
LEAVES, TREES = 24, 200


def fit(table, names, for_ink, against_ink, **more):
    is_ink, weight, figures = table[:, 0] > 0.5, table[:, 1], table[:, 3:]
    model = HistGradientBoostingClassifier(
        max_iter=TREES,
        max_leaf_nodes=LEAVES,
        l2_regularization=5,
        monotonic_cst=[(name in for_ink) - (name in against_ink) for name in names],
        early_stopping=False,
        **more,
    )
    return model.fit(figures, is_ink, sample_weight=weight / weight.mean())


def fit_own(table):
    own = table[:, : 3 + len(NAMES)]
    return fit(own, NAMES, FOR_INK, AGAINST_INK, learning_rate=0.12, min_samples_leaf=400)


def fit_company(table):
    heard = table[~np.isnan(table).any(axis=1)]
    return fit(heard, NAMES + COMPANY, FOR_INK_BY_COMPANY, set(), learning_rate=0.1, min_samples_leaf=300)


def number(value):
    return str(float(f"{value:.4f}") + 0.0)


def in_order(nodes, at=0):
    """Questions and answers: after a question what follows a no, then what follows a yes."""
    node = nodes[at]
    if node["is_leaf"]:
        return [f"Say({number(node['value'])})"]
    no, yes = in_order(nodes, node["left"]), in_order(nodes, node["right"])
    return [f"Ask({node['feature_idx']}, {number(node['num_threshold'])}, {len(no)})", *no, *yes]


def main(what, paths):
    table = np.concatenate([np.loadtxt(path, dtype=np.float32) for path in paths])
    assert table.shape[1] == 3 + len(NAMES) + len(COMPANY), "the files have other figures"
    model = {"own": fit_own, "company": fit_company}[what](table)
    print("//! Trees that [`super::ink_trees`] asks, as `examples/writing_score/fit_ink.py` writes them.\n")
    print("use super::ink_trees::Node::{self, Ask, Say};\n")
    print("/// Log odds before anything is asked.")
    print(f"pub(super) const BEFORE: f64 = {number(model._baseline_prediction.item())};\n")
    print("/// The trees, each from its first question on.")
    print('#[expect(clippy::approx_constant, reason = "limits that happen to be near a constant")]')
    print("#[rustfmt::skip]")
    print(f"pub(super) const TREES: [&[Node]; {TREES}] = [")
    for (predictor,) in model._predictors:
        print(f"    &[{', '.join(in_order(predictor.nodes))}],")
    print("];")


main(sys.argv[1], sys.argv[2:])
