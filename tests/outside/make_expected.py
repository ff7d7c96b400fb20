"""Compute what the program should give for the named cases, as tests/data/outside/expected.json.

    python make_expected.py            write the file
    python make_expected.py --check    compute again and compare; exit 1 on a difference

Before anything is written, the model's scaling is compared with OpenCV's, and the cases are
checked for knife edges on which float32 could fall to the other side.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

import signal_model
from cases import ASTRONAUT, BOARD, CASES, GREY, HUBBLE, TEST_PICTURES, Case
from make_formats import is_lossy

EXPECTED = TEST_PICTURES / "outside" / "expected.json"
LARGEST_FILE_BYTES = 400_000
CHECK_TOLERANCE = 1e-6
SAMPLES_ACROSS, SAMPLES_DOWN = 12, 8
SCALING_TOLERANCE = 1e-4

KNIFE_EDGE = 1e-6
"""How near a luma may come to the hard step; float32 luma is good to about 2e-7."""

TIE_CODES = 1e-4
"""How near half a code counts as a tie; float32 composites are good to about 5e-5 codes."""

LARGEST_TIE_FRACTION = 1e-3
"""Half of what against_compose.py allows to be off by one."""


# --- cases --------------------------------------------------------------------------------


def grid(width: int, height: int) -> Iterator[tuple[int, int]]:
    """The centres of 12 x 8 equal fields, as whole pixels (x, y)."""
    for row in range(SAMPLES_DOWN):
        for column in range(SAMPLES_ACROSS):
            yield (
                (2 * column + 1) * width // (2 * SAMPLES_ACROSS),
                (2 * row + 1) * height // (2 * SAMPLES_DOWN),
            )


def percent(where: NDArray[np.bool_]) -> float:
    """The share of true pixels, to 4 decimals."""
    return round(100.0 * float(where.mean()), 4)


def require_no_knife_edge(case: Case, signals: signal_model.Signals) -> None:
    """Fail where float32 and float64 could disagree in many pixels.

    A luma that is exactly the threshold is fine: greys are exact in both.
    """
    settings = case.settings
    if settings["softness"] == 0:
        distance = np.abs(signals.luma - settings["threshold"] / 100.0)
        if np.any((distance > 0.0) & (distance < KNIFE_EDGE)):
            raise AssertionError(f"{case.name}: a luma lies within {KNIFE_EDGE} of the hard step")
    codes = 255.0 * signals.composite
    tied = np.abs(codes - np.floor(codes) - 0.5) < TIE_CODES
    if tied.mean() > LARGEST_TIE_FRACTION:
        raise AssertionError(f"{case.name}: {tied.mean():.3%} of the components are ties")


def expect_case(case: Case) -> dict[str, Any]:
    """Means, percentages and sampled pixels of one case."""
    signals = case.render()
    require_no_knife_edge(case, signals)
    height, width = signals.matte.shape
    composite = 255.0 * signals.composite
    dropped = signals.matte < signal_model.DROPPED_BELOW
    solid = signals.matte > signal_model.SOLID_ABOVE
    return {
        "name": case.name,
        "camera": case.camera,
        "slide": case.slide,
        "settings": case.settings,
        "output": [width, height],
        "mean": [round(float(mean), 6) for mean in composite.mean(axis=(0, 1))],
        "dropped": percent(dropped),
        "in_the_ramp": percent(~dropped & ~solid),
        "solid": percent(solid),
        "pixels": [
            [x, y, round(float(signals.matte[y, x]), 6)]
            + [round(float(code), 3) for code in composite[y, x]]
            for x, y in grid(width, height)
        ],
    }


# --- luma and decoding --------------------------------------------------------------------


def expect_luma() -> list[dict[str, Any]]:
    """Luma of 64 pixels of the astronaut, in percent of white, under the three standards."""
    codes = signal_model.decode(TEST_PICTURES / ASTRONAUT)
    picture = signal_model.normalised(codes)
    lumas = {name: signal_model.luma(picture, name) for name in signal_model.LUMA_WEIGHTS}
    return [
        {
            "x": x,
            "y": y,
            "rgb": codes[y, x].tolist(),
            **{name: round(100.0 * float(plane[y, x]), 6) for name, plane in lumas.items()},
        }
        for y in range(32, 512, 64)
        for x in range(32, 512, 64)
    ]


def expect_decoding() -> dict[str, Any]:
    """A few pixels of each large test picture, as Pillow decodes them."""
    pictures = {}
    for name in (BOARD, HUBBLE, ASTRONAUT, GREY):
        codes = signal_model.decode(TEST_PICTURES / name)
        height, width = codes.shape[:2]
        pictures[name] = {
            "size": [width, height],
            "tolerance_codes": 1 if is_lossy(name) or name.endswith(".jpg") else 0,
            "pixels": [[x, y, *codes[y, x].tolist()] for x, y in list(grid(width, height))[::4]],
        }
    return pictures


# --- scaling ------------------------------------------------------------------------------


def require_close(name: str, ours: NDArray[Any], theirs: NDArray[Any]) -> None:
    """Fail unless two pictures agree within 1e-4, relative to the value or to one code."""
    error = np.abs(ours - theirs) / np.maximum(np.abs(ours), 1.0 / 255.0)
    if ours.shape != theirs.shape or error.max() > SCALING_TOLERANCE:
        raise AssertionError(f"scaling {name}: differs from OpenCV by {error.max():.2e}")


def expect_scaling() -> list[dict[str, Any]]:
    """Compare the model's scaling with cv2.resize, and list what was compared.

    Reducing is INTER_AREA and enlarging INTER_LINEAR, on float32 pictures. Where one axis is
    reduced and the other enlarged, OpenCV is called once per axis: given both at once,
    INTER_AREA uses a different, not half-pixel-centred interpolation for every axis, and
    INTER_LINEAR reduces by picking two neighbours instead of averaging.

    INTER_AREA also leaves out every overlap below 1/1000 of a source pixel, without making up
    for it. That only matters close to equal sizes: from 1920x1080 to 1919x1079 its result is
    up to 0.14 codes darker than the average, so such a pair is not in the list.
    """
    compared = []
    for name, size in [
        (BOARD, (1280, 720)),
        (BOARD, (960, 540)),
        (BOARD, (641, 359)),
        (BOARD, (17, 5)),
        (BOARD, (1900, 1000)),
        (HUBBLE, (1239, 1080)),
        (HUBBLE, (2000, 1744)),
        (ASTRONAUT, (1080, 1080)),
        (ASTRONAUT, (513, 1537)),
        (GREY, (701, 359)),
        (GREY, (100, 903)),
    ]:
        picture = signal_model.normalised(signal_model.decode(TEST_PICTURES / name))
        single = picture.astype(np.float32)
        height, width = picture.shape[:2]
        modes = [
            cv2.INTER_AREA if target < source else cv2.INTER_LINEAR
            for target, source in zip(size, (width, height), strict=True)
        ]
        if modes[0] == modes[1]:
            theirs = cv2.resize(single, size, interpolation=modes[0])
        else:
            across = cv2.resize(single, (size[0], height), interpolation=modes[0])
            theirs = cv2.resize(across, size, interpolation=modes[1])
        require_close(f"{name} to {size}", signal_model.scale(picture, size), theirs)
        words = {cv2.INTER_AREA: "area", cv2.INTER_LINEAR: "linear"}
        compared.append({"picture": name, "to": list(size), "opencv": [words[m] for m in modes]})
    return compared


# --- the document -------------------------------------------------------------------------


def expect() -> dict[str, Any]:
    """The whole document."""
    return {
        "about": {
            "units": (
                "mean and composite in codes 0..255, not rounded; matte 0..1; dropped, "
                "in_the_ramp, solid and luma in percent; slide_place in percent of the output; "
                "chain offset in percent of white"
            ),
            "pixel_columns": ["x", "y", "matte", "red", "green", "blue"],
            "computed_in": "float64",
            "decoding": (
                "from the pixels Pillow decodes; another JPEG decoder may differ by a code, so "
                "compare from the same decoded pixels"
            ),
        },
        "scaling_agrees_with_opencv": expect_scaling(),
        "decoding": expect_decoding(),
        "luma": expect_luma(),
        "cases": [expect_case(case) for case in CASES],
    }


def as_text(document: dict[str, Any]) -> str:
    """JSON with one line per top-level entry or list element."""
    parts = []
    for key, value in document.items():
        if isinstance(value, list):
            items = ",\n".join(json.dumps(item, separators=(",", ":")) for item in value)
            parts.append(f"{json.dumps(key)}:[\n{items}\n]")
        else:
            parts.append(f"{json.dumps(key)}:{json.dumps(value, separators=(',', ':'))}")
    return "{" + ",\n".join(parts) + "}\n"


def differences(committed: Any, computed: Any, place: str = "") -> Iterator[str]:
    """Every place where two documents differ by more than the tolerance."""
    if isinstance(committed, dict) and isinstance(computed, dict):
        for key in sorted(committed.keys() | computed.keys()):
            if key in committed and key in computed:
                yield from differences(committed[key], computed[key], f"{place}.{key}")
            else:
                yield f"{place}.{key}: only in one of the two"
    elif isinstance(committed, list) and isinstance(computed, list):
        if len(committed) != len(computed):
            yield f"{place}: {len(committed)} elements committed, {len(computed)} computed"
        for index, (one, other) in enumerate(zip(committed, computed, strict=False)):
            yield from differences(one, other, f"{place}[{index}]")
    elif isinstance(committed, float) and isinstance(computed, float):
        # The negated comparison also catches NaN.
        if not abs(committed - computed) <= CHECK_TOLERANCE:
            yield f"{place}: {committed} committed, {computed} computed"
    elif type(committed) is not type(computed) or committed != computed:
        yield f"{place}: {committed!r} committed, {computed!r} computed"


def main() -> int:
    """Write the document, or compare with the committed one."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="compare and write nothing")
    arguments = parser.parse_args()
    text = as_text(expect())
    if arguments.check:
        found = list(differences(json.loads(EXPECTED.read_text()), json.loads(text)))
        for line in found[:20]:
            print(line, file=sys.stderr)
        if found:
            print(f"{len(found)} differences from the committed file", file=sys.stderr)
            return 1
        print(f"{len(CASES)} cases agree with the committed file")
        return 0
    if len(text) > LARGEST_FILE_BYTES:
        print(f"the document has {len(text)} bytes, more than allowed", file=sys.stderr)
        return 1
    EXPECTED.parent.mkdir(parents=True, exist_ok=True)
    EXPECTED.write_text(text)
    print(f"{len(CASES)} cases written, {len(text)} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main())
