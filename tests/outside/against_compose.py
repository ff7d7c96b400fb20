"""Run the real program on every case and compare whole frames with the model.

    python against_compose.py BINARY [--engine cpu|gpu|auto] [--case NAME]...
    python against_compose.py --self-test

JPEG pictures are written as PNG first, so that both sides start from the same decoded
pixels. Only settings that differ from the defaults are passed, so the defaults are checked
too. A frame passes if no component differs by more than one code and at most 0.2 % differ
at all; a run passes if every frame does and at least one was compared.

The self-test needs no program: it makes known mistakes in the model and requires that the
same comparison catches each of them.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np
from numpy.typing import NDArray
from PIL import Image

import signal_model
from cases import CASES, DEFAULTS, TEST_PICTURES, Case

LARGEST_DIFFERENCE_CODES = 1
LARGEST_OFF_BY_ONE_FRACTION = 0.002
"""float32 and float64 round a value near half a code differently; make_expected.py keeps the
cases to at most half as many such values."""

RUN_SECONDS = 300

EXTRA_VIEWS: list[tuple[str, str]] = [
    ("defaults", "matte"),
    ("ramp_smooth", "matte"),
    ("hard_step_on_a_grey_code", "matte"),
    ("never_solid", "matte"),
    ("slide_with_alpha", "matte"),
    ("chain_raised_black", "matte"),
    ("chain_raised_black", "slide"),
    ("slide_place_fill_odd", "slide"),
    ("slide_video_range", "slide"),
    ("turn_270_mirrored", "camera"),
    ("camera_alpha_ignored", "camera"),
]
"""Cases that are also run with another view than the composite."""

Frame = NDArray[np.uint8]


# --- comparing ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Comparison:
    """How two frames of code values differ; components are pixels times channels."""

    components: int
    largest: int
    off_by_one: int

    @property
    def passes(self) -> bool:
        """Something was compared, nothing is off by more than one, and few are off by one."""
        return (
            self.components > 0
            and self.largest <= LARGEST_DIFFERENCE_CODES
            and self.off_by_one <= LARGEST_OFF_BY_ONE_FRACTION * self.components
        )

    def __str__(self) -> str:
        """One row under HEADING."""
        share = 100.0 * self.off_by_one / max(self.components, 1)
        return (
            f"{self.largest:>7} {self.off_by_one:>9} {share:>8.4f} {self.components:>10}  "
            f"{'pass' if self.passes else 'FAIL'}"
        )


HEADING = f"{'largest':>7} {'off by 1':>9} {'%':>8} {'components':>10}"


def compare(expected: Frame, actual: Frame) -> Comparison:
    """Compare two frames; frames of different shapes cannot be compared."""
    if expected.shape != actual.shape:
        raise ValueError(f"expected a frame of {expected.shape}, got {actual.shape}")
    difference = np.abs(expected.astype(np.int16) - actual.astype(np.int16))
    return Comparison(
        components=difference.size,
        largest=int(difference.max(initial=0)),
        off_by_one=int(np.count_nonzero(difference == 1)),
    )


def model_frame(case: Case, view: str, settings: dict[str, Any] | None = None) -> Frame:
    """The model's 8-bit frame of one view of a case."""
    return signal_model.to_codes(signal_model.view(case.render(settings), view))


# --- running the program ------------------------------------------------------------------


def as_png(name: str, folder: Path) -> Path:
    """The test picture itself, or for a JPEG its decoded pixels as a PNG in the folder."""
    source = TEST_PICTURES / name
    if source.suffix != ".jpg":
        return source
    png = folder / f"{source.stem}.png"
    if not png.exists():
        Image.fromarray(signal_model.decode(source)).save(png, compress_level=1)
    return png


def flags(settings: dict[str, Any], folder: Path) -> list[str]:
    """The command-line flags for what differs from the defaults; a chain becomes a setup file."""
    given: list[str] = []
    for key, value in settings.items():
        if value == DEFAULTS[key]:
            continue
        flag = "--" + key.replace("_", "-")
        if key == "chain":
            setup = folder / "chain.toml"
            setup.write_text(
                f"[chain]\ngain = {float(value['gain'])}\noffset = {float(value['offset'])}\n"
            )
            given += ["--setup", str(setup)]
        elif value is True:
            given.append(flag)
        elif isinstance(value, list):
            given += [flag, ",".join(str(number) for number in value)]
        else:
            given += [flag, str(value)]
    return given


def program_frame(binary: Path, engine: str, case: Case, view: str, folder: Path) -> Frame:
    """Run `compose` and read its picture, which must be 8-bit RGB."""
    out = folder / "out.png"
    out.unlink(missing_ok=True)
    command = [str(binary), "compose"]
    command += ["--camera", str(as_png(case.camera, folder))]
    command += ["--slide", str(as_png(case.slide, folder))]
    command += ["--out", str(out), "--engine", engine]
    command += flags(case.settings, folder)
    if view != "composite":
        command += ["--view", view]
    run = subprocess.run(
        command, cwd=folder, capture_output=True, text=True, timeout=RUN_SECONDS, check=False
    )
    if run.returncode != 0:
        raise RuntimeError(f"exit {run.returncode}: {run.stderr.strip()}")
    if not out.exists():
        raise RuntimeError("exit 0, but no picture was written")
    with Image.open(out) as picture:
        if picture.mode != "RGB":
            raise ValueError(f"expected an 8-bit RGB picture, got mode {picture.mode}")
        return np.asarray(picture)


def run_program(binary: Path, engine: str, names: list[str]) -> bool:
    """Compare every case (or the named ones); true if all pass and something was compared."""
    by_name = {case.name: case for case in CASES}
    jobs = [(case.name, "composite") for case in CASES] + EXTRA_VIEWS
    jobs = [job for job in jobs if not names or job[0] in names]
    print(f"{'case':<38} {'view':<9} {HEADING}")
    components = off_by_one = failed = 0
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        for name, view in jobs:
            label = f"{name:<38} {view:<9}"
            try:
                actual = program_frame(binary, engine, by_name[name], view, folder)
                comparison = compare(model_frame(by_name[name], view), actual)
            except (OSError, RuntimeError, ValueError, subprocess.TimeoutExpired) as error:
                print(f"{label} FAIL: {error}")
                failed += 1
                continue
            print(f"{label} {comparison}", flush=True)
            components += comparison.components
            off_by_one += comparison.off_by_one
            failed += not comparison.passes
    print(
        f"{len(jobs)} frames, {failed} failed, {components} components compared, "
        f"{off_by_one} of them off by one"
    )
    return failed == 0 and components > 0


# --- self-test ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Mistake:
    """A known mistake: on which case and view it must show, and how it is made."""

    name: str
    case: str
    settings: dict[str, Any] = field(default_factory=dict)
    spoil: Callable[[], AbstractContextManager[Any]] = nullcontext
    view: str = "composite"


def replaced(name: str, function: Callable[..., Any]) -> Callable[[], AbstractContextManager[Any]]:
    """Replace one function of the model for a while."""
    return lambda: mock.patch.object(signal_model, name, function)


def shifted_row(values: NDArray[np.float64]) -> Frame:
    """Everything one row lower."""
    return np.roll(RIGHT_TO_CODES(values), 1, axis=0)


def truncated(values: NDArray[np.float64]) -> Frame:
    """Code values cut off instead of rounded."""
    return np.floor(255.0 * values).astype(np.uint8)


def step_at_the_threshold(
    y: signal_model.Plane, threshold: float, softness: float, ramp: str
) -> signal_model.Plane:
    """A hard step that keeps the threshold itself."""
    return (y >= threshold / 100.0).astype(np.float64)


def remainder_first(
    source: tuple[int, int], target: signal_model.Rectangle, fit: str
) -> signal_model.Rectangle:
    """The centring remainder at the left and the top."""
    placed = RIGHT_FITTED(source, target, fit)
    return signal_model.Rectangle(
        target.x - (placed.width - target.width) // 2,
        target.y - (placed.height - target.height) // 2,
        placed.width,
        placed.height,
    )


def place_cut_off(output: tuple[int, int], percent: list[float]) -> signal_model.Rectangle:
    """A slide place whose position is cut off instead of rounded."""
    right = RIGHT_PLACE(output, percent)
    x, y = (
        int(Fraction(str(number)) * length / 100)
        for number, length in zip(percent[:2], output, strict=True)
    )
    return signal_model.Rectangle(x, y, right.width, right.height)


def chain_without_offset(
    slide: signal_model.Picture, gain: float, offset: float
) -> signal_model.Picture:
    """A chain that only knows the gain."""
    return np.clip(gain * slide, 0.0, 1.0)


RIGHT_TO_CODES = signal_model.to_codes
RIGHT_FITTED = signal_model.fitted
RIGHT_PLACE = signal_model.place_rectangle

MISTAKES: list[Mistake] = [
    Mistake("601 weights for 709", "luma_bt709", {"luma": "bt601"}),
    Mistake("709 weights for 2020", "luma_bt2020", {"luma": "bt709"}),
    Mistake("softness doubled", "defaults", {"softness": 8}),
    Mistake("threshold + 0.2 %", "defaults", {"threshold": 6.2}),
    Mistake("camera mirror off", "mirror_camera", {"mirror_camera": False}),
    Mistake("slide mirror off", "mirror_slide_odd", {"mirror_slide": False}),
    Mistake("turned the other way", "turn_270_mirrored", {"turn_camera": 90}),
    Mistake("straight for premultiplied", "premultiplied", {"alpha": "straight"}),
    Mistake("linear ramp for smooth", "ramp_smooth", {"ramp": "linear"}),
    Mistake("encoded blend for linear", "linear_straight", {"blend_space": "encoded"}),
    Mistake("camera range not expanded", "camera_video_range", {"camera_range": "full"}),
    Mistake("slide range not expanded", "slide_video_range", {"slide_range": "full"}),
    Mistake("slide filled for fitted", "slide_place_fit", {"slide_fit": "fill"}),
    Mistake("chain left out", "chain_gain_clips", {"chain": None}),
    Mistake(
        "chain offset left out", "chain_raised_black", {}, replaced("chain", chain_without_offset)
    ),
    Mistake("one row shifted", "defaults", {}, replaced("to_codes", shifted_row)),
    Mistake(
        "one row shifted in the matte", "defaults", {}, replaced("to_codes", shifted_row), "matte"
    ),
    Mistake("codes cut off, not rounded", "smaller_odd", {}, replaced("to_codes", truncated)),
    Mistake(
        "threshold itself kept",
        "hard_step_on_a_grey_code",
        {},
        replaced("matte", step_at_the_threshold),
    ),
    Mistake(
        "remainder at left and top",
        "odd_margin_when_cropping",
        {},
        replaced("fitted", remainder_first),
    ),
    Mistake(
        "slide place cut off",
        "slide_place_fill_odd",
        {},
        replaced("place_rectangle", place_cut_off),
    ),
    Mistake(
        "alpha not flattened",
        "slide_with_alpha",
        {},
        replaced("flatten", signal_model.without_alpha),
    ),
    Mistake(
        "camera alpha flattened",
        "camera_alpha_ignored",
        {},
        replaced("without_alpha", signal_model.flatten),
    ),
    Mistake(
        "reduced without averaging",
        "smaller_odd",
        {},
        replaced("overlap_taps", signal_model.bilinear_taps),
    ),
]


def self_test() -> bool:
    """True if the unspoiled model passes and every mistake, and an empty frame, is caught."""
    by_name = {case.name: case for case in CASES}
    print(f"{'mistake':<38} {HEADING}")
    missed = 0
    for mistake in MISTAKES:
        case = by_name[mistake.case]
        expected = model_frame(case, mistake.view)
        with mistake.spoil():
            spoiled = model_frame(case, mistake.view, {**case.settings, **mistake.settings})
        comparison = compare(expected, spoiled)
        print(f"{mistake.name:<38} {comparison}", flush=True)
        missed += comparison.passes
        if not compare(expected, model_frame(case, mistake.view)).passes:
            print(f"{mistake.case}: still differs after the mistake was undone")
            missed += 1
    nothing = np.zeros((0, 0, 3), np.uint8)
    missed += compare(nothing, nothing).passes
    print(f"{len(MISTAKES)} mistakes, {missed} missed (each must FAIL to be caught)")
    return missed == 0


def main() -> int:
    """Check the program, or the checking."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary", nargs="?", type=Path, help="the program to check")
    parser.add_argument("--engine", choices=["cpu", "gpu", "auto"], default="auto")
    parser.add_argument(
        "--case",
        action="append",
        default=[],
        choices=[case.name for case in CASES],
        metavar="NAME",
        help="only this case; may be repeated",
    )
    parser.add_argument("--self-test", action="store_true", help="check the comparison itself")
    arguments = parser.parse_args()
    if arguments.self_test:
        return 0 if self_test() else 1
    if arguments.binary is None:
        parser.error("give the program to check, or --self-test")
    binary = arguments.binary.resolve()
    return 0 if run_program(binary, arguments.engine, arguments.case) else 1


if __name__ == "__main__":
    sys.exit(main())
