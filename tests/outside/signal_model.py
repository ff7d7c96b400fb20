"""The signal model of nightglass as plain functions on float64 arrays.

Written from the published definition alone, as a second opinion from outside the
program. A picture is an array of shape (height, width, 3) with values 0..1, encoded
(gamma-coded) unless a name says linear; a luma or a matte has shape (height, width).

Everything is computed in float64, and the threshold and softness are divided by 100 in
float64. The program uses float32, so a value within about 1e-6 of a knife edge (the hard
step of softness 0, or a sum that ends on half a code) may fall on the other side there.

The order is: load (with range expansion), flatten, turn, mirror, place, chain, key, blend.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps

Picture = NDArray[np.float64]
Plane = NDArray[np.float64]

LUMA_WEIGHTS: dict[str, tuple[float, float]] = {
    "bt601": (0.299, 0.114),
    "bt709": (0.2126, 0.0722),
    "bt2020": (0.2627, 0.0593),
}
"""(Kr, Kb) of ITU-R BT.601-7, BT.709-6 and BT.2020-2 (non-constant luminance)."""

DROPPED_BELOW = 0.02
SOLID_ABOVE = 0.98


@dataclass(frozen=True)
class Rectangle:
    """Whole output pixels: left, top, width, height; origin top left, y down."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True)
class Signals:
    """Everything the program can show of one camera frame and one slide."""

    camera: Picture
    slide: Picture
    luma: Plane
    matte: Plane
    composite: Picture


# --- load ---------------------------------------------------------------------------------


def decode(path: Path) -> NDArray[Any]:
    """Decode a picture file to uint8 or uint16, shape (height, width, 3 or 4), RGB(A).

    Pillow reads everything but 16-bit colour, which it reduces to 8 bits; that goes through
    OpenCV with IMREAD_UNCHANGED. Grey is repeated into three channels, palettes are looked
    up, a transparent palette entry or colour key becomes alpha, EXIF orientation is applied.
    Colour profiles are ignored.
    """
    unchanged = cv2.imread(str(path), cv2.IMREAD_UNCHANGED)
    if unchanged is not None and unchanged.dtype == np.uint16:
        if unchanged.ndim == 2:
            return np.repeat(unchanged[:, :, None], 3, axis=2)
        to_rgb = cv2.COLOR_BGRA2RGBA if unchanged.shape[2] == 4 else cv2.COLOR_BGR2RGB
        return cv2.cvtColor(unchanged, to_rgb)
    with Image.open(path) as opened:
        upright = ImageOps.exif_transpose(opened)
        has_alpha = upright.mode in ("RGBA", "LA", "PA") or "transparency" in upright.info
        return np.asarray(upright.convert("RGBA" if has_alpha else "RGB"))


def normalised(codes: NDArray[Any]) -> Picture:
    """Code values to 0..1: v/255 for 8 bits, v/65535 for 16 bits."""
    return codes.astype(np.float64) / np.iinfo(codes.dtype).max


def expand_video_range(colour: Picture) -> Picture:
    """clamp((255 v - 16) / 219, 0, 1) per channel, not rounded (BT.709 quantisation: 16..235)."""
    return np.clip((255.0 * colour - 16.0) / 219.0, 0.0, 1.0)


def load(path: Path, video_range: bool) -> Picture:
    """Decode a file to 0..1, shape (height, width, 3 or 4), expanding the colour if asked.

    Alpha, where there is one, is coverage and not a video level, so it is never expanded.
    """
    picture = normalised(decode(path))
    if video_range:
        picture = np.concatenate([expand_video_range(picture[:, :, :3]), picture[:, :, 3:]], axis=2)
    return picture


def flatten(picture: Picture) -> Picture:
    """Lay a picture over black: colour * alpha (Porter-Duff 1984, over an opaque black)."""
    if picture.shape[2] == 3:
        return picture
    return picture[:, :, :3] * picture[:, :, 3:]


def without_alpha(picture: Picture) -> Picture:
    """Forget the alpha, as for the camera."""
    return picture[:, :, :3]


# --- place --------------------------------------------------------------------------------


def turn(picture: Picture, degrees: int) -> Picture:
    """Turn clockwise by 0, 90, 180 or 270 degrees."""
    return np.rot90(picture, k=-(degrees // 90), axes=(0, 1))


def mirror(picture: Picture) -> Picture:
    """Flip left and right."""
    return picture[:, ::-1]


def round_half_up(value: Fraction) -> int:
    """floor(x + 0.5), exactly."""
    return floor(value + Fraction(1, 2))


def place_rectangle(output: tuple[int, int], percent: list[float]) -> Rectangle:
    """A rectangle [x, y, width, height] in percent of the output, as whole pixels.

    Each edge is floor(x + 0.5) of the exact edge. Numbers are taken as the decimals that
    were written (1.1 is 11/10), and the far edge is that of the exact sum.
    """
    x, y, width, height = (Fraction(str(number)) / 100 for number in percent)
    left, right = (round_half_up(edge * output[0]) for edge in (x, x + width))
    top, bottom = (round_half_up(edge * output[1]) for edge in (y, y + height))
    return Rectangle(left, top, right - left, bottom - top)


def fitted(source: tuple[int, int], target: Rectangle, fit: str) -> Rectangle:
    """Where a source of (width, height) lies for `fit`, `fill` or `stretch` in the target.

    `fit` and `fill` scale both axes by k = min / max (W/w, H/h); the size is
    floor(k * size + 0.5), at least 1, and the offset floor((target - size) / 2). An odd
    remainder leaves the wider margin at the right and the bottom; for `fill`, where margins
    are negative, that means one more pixel is cut off at the left and the top.
    """
    if fit == "stretch":
        return target
    ratios = (Fraction(target.width, source[0]), Fraction(target.height, source[1]))
    scale = {"fit": min, "fill": max}[fit](ratios)
    width, height = (max(1, round_half_up(scale * length)) for length in source)
    return Rectangle(
        target.x + (target.width - width) // 2,
        target.y + (target.height - height) // 2,
        width,
        height,
    )


def overlap_taps(source: int, target: int) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Pixel-overlap average: target pixel j is the mean of [j, j+1) * source/target.

    Returns source indices and weights, both of shape (target, taps). The overlaps are whole
    multiples of 1/target, so they are computed in integers.
    """
    start = np.arange(target, dtype=np.int64) * source
    taps = -(-source // target) + 1
    index = (start // target)[:, None] + np.arange(taps)
    low = np.maximum(index * target, start[:, None])
    high = np.minimum((index + 1) * target, start[:, None] + source)
    weight = np.maximum(high - low, 0) / source
    return np.minimum(index, source - 1), weight


def bilinear_taps(source: int, target: int) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Bilinear with half-pixel centres: position (j + 0.5) * source/target - 0.5, edges held."""
    position = (np.arange(target) + 0.5) * source / target - 0.5
    below = np.floor(position)
    part = position - below
    index = np.stack([below, below + 1], axis=1).astype(np.int64)
    return np.clip(index, 0, source - 1), np.stack([1.0 - part, part], axis=1)


def scale_axis(picture: Picture, target: int, axis: int) -> Picture:
    """Scale one axis: reducing by overlap average, enlarging bilinearly, equal untouched."""
    source = picture.shape[axis]
    if source == target:
        return picture
    index, weight = (overlap_taps if target < source else bilinear_taps)(source, target)
    along = (-1, 1, 1) if axis == 0 else (1, -1, 1)
    shape = list(picture.shape)
    shape[axis] = target
    scaled = np.zeros(shape)
    for tap in range(index.shape[1]):
        scaled += np.take(picture, index[:, tap], axis) * weight[:, tap].reshape(along)
    return scaled


def scale(picture: Picture, size: tuple[int, int]) -> Picture:
    """Scale to (width, height), each axis on its own and without rounding afterwards."""
    return scale_axis(scale_axis(picture, size[0], axis=1), size[1], axis=0)


def place(picture: Picture, output: tuple[int, int], target: Rectangle, fit: str) -> Picture:
    """Fit a picture into the target rectangle of the output; black everywhere else."""
    height, width = picture.shape[:2]
    placed = fitted((width, height), target, fit)
    scaled = scale(picture, (placed.width, placed.height))
    left, right = max(target.x, placed.x), min(target.x + target.width, placed.x + placed.width)
    top, bottom = max(target.y, placed.y), min(target.y + target.height, placed.y + placed.height)
    signal = np.zeros((output[1], output[0], 3))
    signal[top:bottom, left:right] = scaled[
        top - placed.y : bottom - placed.y, left - placed.x : right - placed.x
    ]
    return signal


# --- key ----------------------------------------------------------------------------------


def chain(slide: Picture, gain: float, offset: float) -> Picture:
    """clamp(gain * S + offset, 0, 1) over the whole slide signal; offset in percent of white."""
    return np.clip(gain * slide + offset / 100.0, 0.0, 1.0)


def luma(picture: Picture, standard: str) -> Plane:
    """Y' = G' + Kr (R' - G') + Kb (B' - G') of encoded values; this order is exact on greys.

    The same as Kr R' + Kg G' + Kb B' with Kg = 1 - Kr - Kb (ITU-R BT.601, BT.709, BT.2020).
    """
    kr, kb = LUMA_WEIGHTS[standard]
    red, green, blue = picture[:, :, 0], picture[:, :, 1], picture[:, :, 2]
    return green + kr * (red - green) + kb * (blue - green)


def matte(y: Plane, threshold: float, softness: float, ramp: str) -> Plane:
    """How much of the slide is kept, from the luma; threshold and softness in percent.

    m = clamp((Y' - t) / s, 0, 1); `linear` is m, `smooth` is m^2 (3 - 2 m); with s = 0 the
    matte is 1 where Y' > t and 0 elsewhere.
    """
    t, s = threshold / 100.0, softness / 100.0
    if s == 0.0:
        return (y > t).astype(np.float64)
    m = np.clip((y - t) / s, 0.0, 1.0)
    return {"linear": m, "smooth": m * m * (3.0 - 2.0 * m)}[ramp]


# --- blend --------------------------------------------------------------------------------


def to_linear(v: Picture) -> Picture:
    """IEC 61966-2-1: V/12.92 for V <= 0.04045, else ((V + 0.055)/1.055)^2.4."""
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def from_linear(v: Picture) -> Picture:
    """IEC 61966-2-1: 12.92 L for L <= 0.0031308, else 1.055 L^(1/2.4) - 0.055."""
    return np.where(v <= 0.0031308, 12.92 * v, 1.055 * v ** (1.0 / 2.4) - 0.055)


def over(slide: Picture, kept: Plane, camera: Picture, alpha: str) -> Picture:
    """The slide over the camera (Porter-Duff 1984, both opaque results).

    straight:      out = m S + (1 - m) C
    premultiplied: out = min(1, S + (1 - m) C)
    """
    m = kept[:, :, None]
    if alpha == "straight":
        return m * slide + (1.0 - m) * camera
    return np.minimum(1.0, slide + (1.0 - m) * camera)


def blend(slide: Picture, kept: Plane, camera: Picture, alpha: str, blend_space: str) -> Picture:
    """`over` on encoded values, or on decoded ones with the result encoded again."""
    if blend_space == "encoded":
        return over(slide, kept, camera, alpha)
    return from_linear(over(to_linear(slide), kept, to_linear(camera), alpha))


def to_codes(values: NDArray[np.float64]) -> NDArray[np.uint8]:
    """8-bit code values, floor(255 v + 0.5)."""
    return np.floor(255.0 * values + 0.5).astype(np.uint8)


# --- everything ---------------------------------------------------------------------------


def output_size(size: str | None, camera: Picture) -> tuple[int, int]:
    """The given WxH, else the size of the (turned) camera."""
    if size is None:
        return camera.shape[1], camera.shape[0]
    width, height = size.split("x")
    return int(width), int(height)


def render(camera_file: Path, slide_file: Path, settings: Mapping[str, Any]) -> Signals:
    """One camera frame and one slide under the settings, keyed by the command line's words."""
    camera = without_alpha(load(camera_file, settings["camera_range"] == "video"))
    camera = turn(camera, settings["turn_camera"])
    if settings["mirror_camera"]:
        camera = mirror(camera)
    slide = flatten(load(slide_file, settings["slide_range"] == "video"))
    if settings["mirror_slide"]:
        slide = mirror(slide)

    output = output_size(settings["size"], camera)
    whole = Rectangle(0, 0, *output)
    slide_place = settings["slide_place"]
    slide_target = whole if slide_place is None else place_rectangle(output, slide_place)
    camera = place(camera, output, whole, settings["camera_fit"])
    slide = place(slide, output, slide_target, settings["slide_fit"])
    if settings["chain"] is not None:
        slide = chain(slide, settings["chain"]["gain"], settings["chain"]["offset"])

    y = luma(slide, settings["luma"])
    kept = matte(y, settings["threshold"], settings["softness"], settings["ramp"])
    composite = blend(slide, kept, camera, settings["alpha"], settings["blend_space"])
    return Signals(camera, slide, y, kept, composite)


def view(signals: Signals, name: str) -> Picture:
    """What the program shows: `composite`, `camera`, `slide` or `matte` (as grey)."""
    if name == "matte":
        return np.repeat(signals.matte[:, :, None], 3, axis=2)
    return {"composite": signals.composite, "camera": signals.camera, "slide": signals.slide}[name]
