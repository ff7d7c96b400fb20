"""The named cases: a camera file, a slide file and the settings in the command line's words.

Each case lists only what differs from DEFAULTS. Ratios of exactly two are avoided where
pictures are scaled, because averages of two or four code values end on half a code very
often, and float32 and float64 then round to different sides.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import signal_model

TEST_PICTURES = Path(__file__).resolve().parent.parent / "data"

DEFAULTS: dict[str, Any] = {
    "threshold": 6,
    "softness": 4,
    "ramp": "linear",
    "luma": "bt709",
    "alpha": "straight",
    "blend_space": "encoded",
    "size": None,
    "camera_fit": "fill",
    "slide_fit": "fit",
    "slide_place": None,
    "turn_camera": 0,
    "mirror_camera": False,
    "mirror_slide": False,
    "camera_range": "full",
    "slide_range": "full",
    "chain": None,
}

BOARD = "board_1.jpg"
HUBBLE = "hubble_deep_field.jpg"
ASTRONAUT = "astronaut.png"
GREY = "camera_grey.png"
RGBA8 = "formats/png_rgba8.png"
RGBA16 = "formats/png_rgba16.png"


@dataclass(frozen=True)
class Case:
    """One composite: pictures by file name under tests/data, and the changed settings."""

    name: str
    camera: str
    slide: str
    changed: dict[str, Any] = field(default_factory=dict)

    @property
    def settings(self) -> dict[str, Any]:
        """All settings, the defaults with the changed ones laid over."""
        unknown = self.changed.keys() - DEFAULTS.keys()
        if unknown:
            raise KeyError(f"{self.name}: unknown settings {sorted(unknown)}")
        return {**DEFAULTS, **self.changed}

    def render(self, settings: dict[str, Any] | None = None) -> signal_model.Signals:
        """The model's signals, under the case's own settings or others."""
        return signal_model.render(
            TEST_PICTURES / self.camera, TEST_PICTURES / self.slide, settings or self.settings
        )


CASES: list[Case] = [
    Case("defaults", BOARD, HUBBLE),
    Case("luma_bt601", BOARD, ASTRONAUT, {"luma": "bt601", "size": "1277x719"}),
    Case("luma_bt709", BOARD, ASTRONAUT, {"luma": "bt709", "size": "1277x719"}),
    Case("luma_bt2020", BOARD, ASTRONAUT, {"luma": "bt2020", "size": "1277x719"}),
    Case("ramp_smooth", BOARD, HUBBLE, {"ramp": "smooth", "softness": 12, "size": "1280x720"}),
    Case("premultiplied", BOARD, HUBBLE, {"alpha": "premultiplied", "size": "1280x720"}),
    Case("linear_straight", BOARD, HUBBLE, {"blend_space": "linear", "size": "1280x720"}),
    Case(
        "linear_premultiplied_smooth",
        BOARD,
        ASTRONAUT,
        {
            "blend_space": "linear",
            "alpha": "premultiplied",
            "ramp": "smooth",
            "softness": 25,
            "size": "1277x719",
        },
    ),
    # 20 % is exactly code 51, and the pictures are not scaled: grey 51 must be dropped.
    Case("hard_step_on_a_grey_code", ASTRONAUT, GREY, {"threshold": 20, "softness": 0}),
    Case("hard_step_colour", GREY, ASTRONAUT, {"threshold": 30.001, "softness": 0}),
    Case(
        "softness_smallest",
        BOARD,
        HUBBLE,
        {
            "threshold": 8.123,
            "softness": 0.01,
        },
    ),
    Case("softness_whole_range", BOARD, HUBBLE, {"threshold": 0, "softness": 100}),
    Case("never_solid", BOARD, ASTRONAUT, {"threshold": 60, "softness": 80, "size": "1277x719"}),
    Case(
        "camera_fit_slide_fill",
        ASTRONAUT,
        HUBBLE,
        {
            "camera_fit": "fit",
            "slide_fit": "fill",
            "size": "800x447",
        },
    ),
    Case(
        "stretch_both",
        BOARD,
        ASTRONAUT,
        {
            "camera_fit": "stretch",
            "slide_fit": "stretch",
            "size": "701x903",
        },
    ),
    Case("odd_margin_when_cropping", BOARD, HUBBLE, {"slide_fit": "fill", "size": "641x358"}),
    Case(
        "slide_place_fit",
        BOARD,
        ASTRONAUT,
        {
            "slide_place": [60, 5, 37.5, 45.3],
            "size": "1277x719",
        },
    ),
    Case(
        "slide_place_fill_odd",
        BOARD,
        HUBBLE,
        {
            "slide_place": [50, 47.9, 33.3, 40],
            "slide_fit": "fill",
            "size": "641x359",
        },
    ),
    Case(
        "slide_place_stretch",
        BOARD,
        HUBBLE,
        {
            "slide_place": [3.1, 10.7, 41.9, 80.05],
            "slide_fit": "stretch",
            "size": "1280x720",
        },
    ),
    Case("turn_90", BOARD, HUBBLE, {"turn_camera": 90}),
    Case(
        "turn_180_mirrored",
        BOARD,
        HUBBLE,
        {
            "turn_camera": 180,
            "mirror_camera": True,
            "size": "1280x720",
        },
    ),
    Case(
        "turn_270_mirrored",
        BOARD,
        ASTRONAUT,
        {
            "turn_camera": 270,
            "mirror_camera": True,
            "size": "611x1087",
        },
    ),
    Case("mirror_camera", BOARD, HUBBLE, {"mirror_camera": True}),
    Case("mirror_slide_odd", BOARD, HUBBLE, {"mirror_slide": True, "size": "641x359"}),
    Case("camera_video_range", BOARD, HUBBLE, {"camera_range": "video", "size": "1280x720"}),
    Case("slide_video_range", BOARD, HUBBLE, {"slide_range": "video", "size": "1280x720"}),
    Case(
        "both_video_range_linear",
        BOARD,
        ASTRONAUT,
        {
            "camera_range": "video",
            "slide_range": "video",
            "blend_space": "linear",
            "size": "641x359",
        },
    ),
    Case("smaller_odd", BOARD, ASTRONAUT, {"size": "641x359"}),
    Case("larger_odd", BOARD, HUBBLE, {"size": "2111x1187"}),
    Case("tiny", BOARD, ASTRONAUT, {"size": "17x5"}),
    Case(
        "chain_raised_black",
        BOARD,
        HUBBLE,
        {
            "chain": {"gain": 0.9, "offset": 7.5},
            "slide_place": [20, 20, 55, 60],
            "size": "1280x720",
        },
    ),
    Case(
        "chain_gain_clips",
        BOARD,
        ASTRONAUT,
        {
            "chain": {"gain": 1.3, "offset": -4.0},
            "size": "1277x719",
        },
    ),
    Case("slide_with_alpha", BOARD, RGBA8, {"size": "641x359"}),
    Case(
        "slide_with_alpha_16_bit_premultiplied",
        BOARD,
        RGBA16,
        {
            "alpha": "premultiplied",
            "slide_range": "video",
            "size": "641x359",
        },
    ),
    Case("camera_alpha_ignored", RGBA8, HUBBLE, {"camera_fit": "stretch", "size": "641x359"}),
]
