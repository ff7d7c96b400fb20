"""Compare pages of a PDF as the program draws them with poppler's pdftoppm.

    python against_poppler.py BINARY
    python against_poppler.py --self-test

The PDF is written here, from ISO 32000-1, without any library: shapes and strokes on pages of
three formats and on a turned one, pictures, and words in a Type 3 font, whose glyphs are drawings
in the file itself. Other fonts are left out: one that is not in the file is replaced by another
by each renderer, and a font program is hinted by each in its own way.

Both draw a page at the same size. Where nothing changes for AVERAGE_PX around a pixel, every
component may differ by FLAT_CODES. Elsewhere means over AVERAGE_PX squared are compared, because
the two cover a pixel on an edge differently, on purpose. The program computes the area. Poppler
22.12 moves the edges of rectangles and strokes onto whole pixels, by half a pixel at most; of
other shapes it counts the sixteenths of a pixel that are touched, and raises their share to the
power of 1.5 (measured on a slanted edge, where shares of 4, 8 and 12 sixteenths give 0.125, 0.353
and 0.651).

Pictures end a hundredth of a pixel before a whole one: poppler gives a picture that ends exactly
on a whole pixel one column and one row more, as one that ends just beyond it, and covers no
pixel by a part (measured: 289 columns for 288; the program draws 288).

The self-test needs poppler alone: it spoils drawn pages in known ways and requires that the same
comparison catches each of them.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import reduce
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

FLAT_CODES = 1
"""Both round a colour to a code, and not at the same place of their work."""
MEAN_CODES = 14
"""An edge from black to white along an axis, half a pixel off: 255 / 2 / AVERAGE_PX."""
LEAST_FLAT_FRACTION = 0.5
AVERAGE_PX = 9
OUTPUT_PX = (1920, 1080)
RUN_SECONDS = 300
SMALL_PX = (4, 6)
LARGE_PX = (400, 300)

Frame = NDArray[np.uint8]
Values = NDArray[np.float64]


# --- the file -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Page:
    """A page: its size in points before it is turned, and what is painted on it."""

    name: str
    width: float
    height: float
    content: str
    turned: int = 0

    @property
    def shown(self) -> tuple[float, float]:
        """Width and height as the page is read."""
        sides = (self.width, self.height)
        return sides if self.turned % 180 == 0 else sides[::-1]

    def size_px(self) -> tuple[int, int]:
        """Pixels of the page, fitted into the output."""
        width, height = self.shown
        scale = min(OUTPUT_PX[0] / width, OUTPUT_PX[1] / height)
        return int(width * scale + 0.5), int(height * scale + 0.5)


def shapes(width: float, height: float) -> str:
    """A field, a rectangle, a triangle, a circle of curves, and strokes, over the whole page."""
    k = 0.5523  # A quarter circle as one curve.
    r, x, y = height / 6, width * 0.7, height * 0.6
    circle = (
        f"{x + r} {y} m {x + r} {y + k * r} {x + k * r} {y + r} {x} {y + r} c "
        f"{x - k * r} {y + r} {x - r} {y + k * r} {x - r} {y} c "
        f"{x - r} {y - k * r} {x - k * r} {y - r} {x} {y - r} c "
        f"{x + k * r} {y - r} {x + r} {y - k * r} {x + r} {y} c f"
    )
    return "\n".join(
        [
            f"0.02 0.03 0.1 rg 0 0 {width} {height * 0.9} re f",
            f"1 0.8 0.2 rg {width * 0.1} {height * 0.1} {width * 0.2} {height * 0.3} re f",
            f"0.9 0.2 0.2 rg {width * 0.4} {height * 0.1} m {width * 0.6} {height * 0.1} l "
            f"{width * 0.5} {height * 0.4} l f",
            f"0.3 0.9 0.6 rg {circle}",
            f"1 1 1 RG 3 w {width * 0.05} {height * 0.5} m {width * 0.45} {height * 0.85} l S",
            f"0.4 0.7 1 RG 6 w [30 20] 0 d {width * 0.8} {height * 0.1} m "
            f"{width * 0.95} {height * 0.35} l S [] 0 d",
        ]
    )


def pictures(width: float, height: float) -> str:
    """The small picture enlarged, and the large one pixel for pixel, at two pixels a point."""
    under = 0.005  # In points: a hundredth of a pixel.
    across, down = SMALL_PX[0] * 18, SMALL_PX[1] * 18
    lines = [f"0.02 0.03 0.1 rg 0 0 {width} {height} re f"]
    for name, x, w, h in [
        ("Small", 96, across, down),
        ("Large", 480, LARGE_PX[0] / 2, LARGE_PX[1] / 2),
    ]:
        top = height - 108
        lines.append(f"q {w - under} 0 0 {h - under} {x} {top - h + under} cm /{name} Do Q")
    return "\n".join(lines)


def words(width: float, height: float) -> str:
    """Lines of glyphs in the sizes of a title down to a footnote."""
    lines = [f"0 g 0 0 {width} {height} re f", "1 0.95 0.8 rg"]
    for number, size in enumerate([64, 40, 28, 18, 12]):
        text = ("LT/O " * 40)[: int(width * 0.9 / size)]
        place = f"{width * 0.05} {height * (0.8 - 0.17 * number)} Td"
        lines.append(f"BT /F {size} Tf {place} ({text}) Tj ET")
    return "\n".join(lines)


GLYPHS = {
    "L": "100 0 120 700 re 220 0 360 110 re f",
    "T": "60 600 640 110 re 320 0 120 600 re f",
    "slash": "100 0 m 220 0 l 620 700 l 500 700 l f",
    "O": "100 0 600 700 re 210 110 380 480 re f*",
    "space": "",
}
CODES = {"L": 76, "T": 84, "slash": 47, "O": 79, "space": 32}
PAGES = [
    Page("shapes, 16:9", 960, 540, shapes(960, 540)),
    Page("shapes, 4:3", 720, 540, shapes(720, 540)),
    Page("shapes, A4", 595.276, 841.89, shapes(595.276, 841.89)),
    Page("shapes, turned", 540, 960, shapes(540, 960), turned=90),
    Page("pictures", 960, 540, pictures(960, 540)),
    Page("words", 960, 540, words(960, 540)),
]


def stream(dictionary: str, data: bytes) -> bytes:
    """A stream object (ISO 32000-1, 7.3.8)."""
    return b"<< %s /Length %d >>\nstream\n%s\nendstream" % (
        dictionary.encode(),
        len(data),
        data,
    )


def picture(size: tuple[int, int], codes: Values) -> bytes:
    """A picture of 8-bit RGB (ISO 32000-1, 8.9.5)."""
    return stream(
        f"/Type /XObject /Subtype /Image /Width {size[0]} /Height {size[1]} "
        "/ColorSpace /DeviceRGB /BitsPerComponent 8",
        codes.astype(np.uint8).tobytes(),
    )


def small_codes() -> Values:
    """A colour a pixel, each far from the next."""
    y, x = np.mgrid[: SMALL_PX[1], : SMALL_PX[0]]
    return np.stack([60.0 * x, 40.0 * y, 0.0 * x + 120], axis=-1)


def large_codes() -> Values:
    """Slow waves, as the sky of a photograph: no pixel is like the one beside it for long."""
    y, x = np.mgrid[: LARGE_PX[1], : LARGE_PX[0]]
    waves = [np.sin(x / 37 + y / 23), np.cos(x / 29 - y / 31), np.sin((x + 2 * y) / 41)]
    return np.stack([127.5 + 100 * wave for wave in waves], axis=-1)


def pdf() -> bytes:
    """The file, with its table of objects (ISO 32000-1, 7.5)."""
    first_glyph = 6
    first_page = first_glyph + len(GLYPHS)
    kids = " ".join(f"{first_page + 2 * n} 0 R" for n in range(len(PAGES)))
    procedures = " ".join(f"/{name} {first_glyph + n} 0 R" for n, name in enumerate(GLYPHS))
    differences = " ".join(f"{code} /{name}" for name, code in CODES.items())
    codes = CODES.values()
    widths = " ".join("800" if code in codes else "0" for code in range(32, 85))
    font = (
        "<< /Type /Font /Subtype /Type3 /FontBBox [0 0 800 710] "
        "/FontMatrix [0.001 0 0 0.001 0 0] /Resources << >> "
        f"/CharProcs << {procedures} >> "
        f"/Encoding << /Type /Encoding /Differences [{differences}] >> "
        f"/FirstChar 32 /LastChar 84 /Widths [{widths}] >>"
    )
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        f"<< /Type /Pages /Kids [{kids}] /Count {len(PAGES)} >>".encode(),
        picture(SMALL_PX, small_codes()),
        picture(LARGE_PX, large_codes()),
        font.encode(),
    ]
    # `d0` alone: a glyph that gives its box too is kept by poppler on whole pixels.
    objects += [stream("", f"800 0 d0 {drawn}".encode()) for drawn in GLYPHS.values()]
    for number, page in enumerate(PAGES):
        objects.append(
            f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {page.width} {page.height}] "
            f"/Rotate {page.turned} /Resources << /XObject << /Small 3 0 R /Large 4 0 R >> "
            f"/Font << /F 5 0 R >> >> /Contents {first_page + 2 * number + 1} 0 R >>".encode()
        )
        objects.append(stream("", page.content.encode()))
    out = b"%PDF-1.7\n"
    starts = []
    for number, one in enumerate(objects, 1):
        starts.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, one)
    table = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % start for start in starts)
    trailer = b"trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n"
    return out + trailer % (len(objects) + 1, table)


# --- comparing ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Comparison:
    """How two drawings of a page differ, in codes."""

    flat_fraction: float
    flat: int
    means: float
    single: int

    @property
    def passes(self) -> bool:
        """Much of the page is flat and equal there, and its edges lie at the same places."""
        return (
            self.flat_fraction >= LEAST_FLAT_FRACTION
            and self.flat <= FLAT_CODES
            and self.means <= MEAN_CODES
        )

    def __str__(self) -> str:
        """One row under HEADING."""
        return (
            f"{100 * self.flat_fraction:>7.1f} {self.flat:>5} {self.means:>6.1f} {self.single:>7}  "
            f"{'pass' if self.passes else 'FAIL'}"
        )


HEADING = f"{'flat %':>7} {'there':>5} {'means':>6} {'single':>7}"


def windows(values: NDArray[np.integer], combine: np.ufunc) -> NDArray[np.integer]:
    """All of AVERAGE_PX squared combined, around every pixel that has them, by rows, then columns."""
    for axis in (0, 1):
        length = values.shape[axis] - AVERAGE_PX + 1
        turned = np.moveaxis(values, axis, 0)
        shifted_by = (turned[start : start + length] for start in range(AVERAGE_PX))
        values = np.moveaxis(reduce(combine, shifted_by), 0, axis)
    return values


def steady(frame: Frame) -> NDArray[np.bool_]:
    """Where no component changes by more than FLAT_CODES around a pixel."""
    spread = windows(frame, np.maximum) - windows(frame, np.minimum)
    return spread.max(axis=-1) <= FLAT_CODES


def compare(expected: Frame, actual: Frame) -> Comparison:
    """Compare two drawings; drawings of different shapes cannot be compared."""
    if expected.shape != actual.shape:
        raise ValueError(f"expected a page of {expected.shape}, got {actual.shape}")
    inner = AVERAGE_PX // 2
    off = expected.astype(np.int32) - actual
    inside = np.abs(off[inner:-inner, inner:-inner]).max(axis=-1)
    flat = steady(expected) & steady(actual)
    return Comparison(
        flat_fraction=float(flat.mean()),
        flat=int(inside[flat].max(initial=0)),
        means=float(np.abs(windows(off, np.add)).max(initial=0)) / AVERAGE_PX**2,
        single=int(np.abs(off).max(initial=0)),
    )


# --- drawing ------------------------------------------------------------------------------


def run(command: list[str], folder: Path) -> None:
    """Run a program that must succeed."""
    done = subprocess.run(
        command, cwd=folder, capture_output=True, text=True, timeout=RUN_SECONDS, check=False
    )
    if done.returncode != 0:
        raise RuntimeError(f"`{command[0]}`: exit {done.returncode}: {done.stderr.strip()}")


def read(path: Path) -> Frame:
    """An 8-bit RGB picture, which is taken away so that no page can be compared with another's."""
    with Image.open(path) as drawn:
        frame = np.asarray(drawn.convert("RGB"))
    path.unlink()
    return frame


def poppler_page(number: int, page: Page, folder: Path) -> Frame:
    """A page, from 1, as poppler draws it."""
    width, height = page.size_px()
    if page.turned % 180 != 0:
        width, height = height, width  # It scales first, then turns.
    command = ["pdftoppm", "-png", "-singlefile", "-f", str(number), "-l", str(number)]
    command += ["-scale-to-x", str(width), "-scale-to-y", str(height), "pages.pdf", "poppler"]
    run(command, folder)
    return read(folder / "poppler.png")


def program_page(binary: Path, number: int, page: Page, folder: Path) -> Frame:
    """A page, from 1, as the program draws it, without the black beside it."""
    command = [str(binary), "compose", "--engine", "cpu", "--view", "slide"]
    command += ["--camera", "camera.png", "--slide", "pages.pdf", "--pages", str(number)]
    command += ["--out", "program.png"]
    run(command, folder)
    width, height = page.size_px()
    left, top = (OUTPUT_PX[0] - width) // 2, (OUTPUT_PX[1] - height) // 2
    whole = read(folder / "program.png")
    beside = whole.copy()
    beside[top : top + height, left : left + width] = 0
    if beside.any():
        raise ValueError("expected black beside the page")
    return whole[top : top + height, left : left + width]


def run_program(binary: Path) -> bool:
    """Compare every page; true if all pass."""
    failed = 0
    print(f"{'page':<32} {HEADING}")
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        (folder / "pages.pdf").write_bytes(pdf())
        Image.new("RGB", OUTPUT_PX).save(folder / "camera.png")
        for number, page in enumerate(PAGES, 1):
            try:
                expected = poppler_page(number, page, folder)
                comparison = compare(expected, program_page(binary, number, page, folder))
            except (OSError, RuntimeError, ValueError, subprocess.TimeoutExpired) as error:
                print(f"{page.name:<32} FAIL: {error}")
                failed += 1
                continue
            print(f"{page.name:<32} {comparison}", flush=True)
            failed += not comparison.passes
    print(f"{len(PAGES)} pages, {failed} failed")
    return failed == 0


# --- self-test ----------------------------------------------------------------------------


def shifted(frame: Frame) -> Frame:
    """Everything one pixel lower."""
    return np.roll(frame, 1, axis=0)


def brighter(frame: Frame) -> Frame:
    """Two codes more, everywhere."""
    return np.minimum(frame.astype(np.int16) + FLAT_CODES + 1, 255).astype(np.uint8)


def swapped(frame: Frame) -> Frame:
    """Red for blue."""
    return frame[..., ::-1]


def mirrored(frame: Frame) -> Frame:
    """Left for right."""
    return frame[:, ::-1]


def smaller(frame: Frame) -> Frame:
    """Two columns narrower, and black there."""
    height, width, _ = frame.shape
    drawn = Image.fromarray(frame).resize((width - 2, height), Image.Resampling.BICUBIC)
    return np.pad(np.asarray(drawn), ((0, 0), (0, 2), (0, 0)))


def blurred(frame: Frame) -> Frame:
    """Drawn at a quarter of the size and enlarged."""
    height, width, _ = frame.shape
    drawn = Image.fromarray(frame).resize((width // 4, height // 4), Image.Resampling.BOX)
    return np.asarray(drawn.resize((width, height), Image.Resampling.BILINEAR))


def bare(frame: Frame) -> Frame:
    """Nothing drawn."""
    return np.full_like(frame, 255)


MISTAKES: list[Callable[[Frame], Frame]] = [
    shifted,
    brighter,
    swapped,
    mirrored,
    smaller,
    blurred,
    bare,
]


def self_test() -> bool:
    """True if a page passes against itself and every spoiled page is caught."""
    missed = 0
    print(f"{'mistake':<32} {HEADING}")
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        (folder / "pages.pdf").write_bytes(pdf())
        drawn = [poppler_page(number, page, folder) for number, page in enumerate(PAGES, 1)]
    for page, expected in zip(PAGES, drawn, strict=True):
        if not compare(expected, expected).passes:
            print(f"{page.name}: differs from itself")
            missed += 1
        for mistake in MISTAKES:
            comparison = compare(expected, mistake(expected))
            label = f"{page.name}, {mistake.__name__}"
            print(f"{label:<32} {comparison}", flush=True)
            missed += comparison.passes
    print(f"{len(PAGES) * len(MISTAKES)} mistakes, {missed} missed (each must FAIL to be caught)")
    return missed == 0


def main() -> int:
    """Check the program, or the checking."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary", nargs="?", type=Path, help="the program to check")
    parser.add_argument("--self-test", action="store_true", help="check the comparison itself")
    arguments = parser.parse_args()
    if arguments.self_test:
        return 0 if self_test() else 1
    if arguments.binary is None:
        parser.error("give the program to check, or --self-test")
    return 0 if run_program(arguments.binary.resolve()) else 1


if __name__ == "__main__":
    sys.exit(main())
