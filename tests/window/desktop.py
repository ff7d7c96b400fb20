"""A display of its own with one program on it: keys, pointer, screenshots.

Needs Xvfb, xdotool, libX11 and libXtst. There is no window manager, so keys go to whatever window is
given the focus.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import subprocess
import time
from pathlib import Path
from types import TracebackType

import numpy as np
from numpy.typing import NDArray

Frame = NDArray[np.uint8]

ALL_PLANES = ctypes.c_ulong(-1).value
Z_PIXMAP = 2


class XImage(ctypes.Structure):
    """The beginning of Xlib's XImage, as far as it is read here."""

    _fields_ = [
        ("width", ctypes.c_int),
        ("height", ctypes.c_int),
        ("xoffset", ctypes.c_int),
        ("format", ctypes.c_int),
        ("data", ctypes.POINTER(ctypes.c_ubyte)),
        ("byte_order", ctypes.c_int),
        ("bitmap_unit", ctypes.c_int),
        ("bitmap_bit_order", ctypes.c_int),
        ("bitmap_pad", ctypes.c_int),
        ("depth", ctypes.c_int),
        ("bytes_per_line", ctypes.c_int),
        ("bits_per_pixel", ctypes.c_int),
    ]


class Desktop:
    """An X display without a window manager."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height

    def __enter__(self) -> Desktop:
        """Start the server and wait until it tells its number."""
        read_end, write_end = os.pipe()
        screen = f"{self.width}x{self.height}x24"
        self.server = subprocess.Popen(
            ["Xvfb", "-displayfd", str(write_end), "-screen", "0", screen, "-nolisten", "tcp"],
            pass_fds=[write_end],
            stderr=subprocess.DEVNULL,
        )
        os.close(write_end)
        with os.fdopen(read_end) as answer:
            number = answer.readline().strip()
        if not number:
            raise RuntimeError("Xvfb does not start")
        self.environment = {**os.environ, "DISPLAY": f":{number}"}
        self.environment.pop("WAYLAND_DISPLAY", None)
        self.x11 = ctypes.CDLL(ctypes.util.find_library("X11") or "libX11.so.6")
        self.x11.XOpenDisplay.restype = ctypes.c_void_p
        self.x11.XDefaultRootWindow.restype = ctypes.c_ulong
        self.x11.XDefaultRootWindow.argtypes = [ctypes.c_void_p]
        self.x11.XGetImage.restype = ctypes.POINTER(XImage)
        self.x11.XGetImage.argtypes = [
            ctypes.c_void_p, ctypes.c_ulong, ctypes.c_int, ctypes.c_int,
            ctypes.c_uint, ctypes.c_uint, ctypes.c_ulong, ctypes.c_int,
        ]  # fmt: skip
        self.x11.XDestroyImage.argtypes = [ctypes.POINTER(XImage)]
        self.x11.XStringToKeysym.restype = ctypes.c_ulong
        self.x11.XKeysymToKeycode.argtypes = [ctypes.c_void_p, ctypes.c_ulong]
        self.x11.XFlush.argtypes = [ctypes.c_void_p]
        self.x11.XCreateSimpleWindow.restype = ctypes.c_ulong
        self.x11.XCreateSimpleWindow.argtypes = [
            ctypes.c_void_p, ctypes.c_ulong, ctypes.c_int, ctypes.c_int,
            ctypes.c_uint, ctypes.c_uint, ctypes.c_uint, ctypes.c_ulong, ctypes.c_ulong,
        ]  # fmt: skip
        for name in ["XMapRaised", "XDestroyWindow"]:
            getattr(self.x11, name).argtypes = [ctypes.c_void_p, ctypes.c_ulong]
        self.xtest = ctypes.CDLL(ctypes.util.find_library("Xtst") or "libXtst.so.6")
        self.xtest.XTestFakeKeyEvent.argtypes = [
            ctypes.c_void_p, ctypes.c_uint, ctypes.c_int, ctypes.c_ulong,
        ]  # fmt: skip
        self.display = self.x11.XOpenDisplay(f":{number}".encode())
        self.root = self.x11.XDefaultRootWindow(self.display)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Stop the server."""
        self.server.terminate()
        self.server.wait()

    def start(self, command: list[str], folder: Path) -> subprocess.Popen[bytes]:
        """Start a program on this display."""
        return subprocess.Popen(command, cwd=folder, env=self.environment)

    def xdotool(self, *words: str) -> str:
        """Run xdotool and return what it prints."""
        run = subprocess.run(
            ["xdotool", *words], env=self.environment, capture_output=True, text=True, timeout=20
        )
        return run.stdout.strip()

    def focus(self, title: str, seconds: float = 30.0) -> str:
        """Wait for a window whose title has these words, give it the keys, return its number."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            found = self.xdotool("search", "--onlyvisible", "--name", title).split()
            if found:
                self.xdotool("windowfocus", "--sync", found[0])
                return found[0]
            time.sleep(0.02)
        raise RuntimeError(f"no window called {title!r} within {seconds} s")

    def keys(self, *keys: str) -> None:
        """Press keys one after the other."""
        self.xdotool("key", "--delay", "30", *keys)

    def press(self, *keys: str) -> None:
        """Press keys and release them in turn, the last first, for measuring: no process is started."""
        symbols = [self.x11.XStringToKeysym(key.encode()) for key in keys]
        codes = [self.x11.XKeysymToKeycode(self.display, symbol) for symbol in symbols]
        for code in codes:
            self.xtest.XTestFakeKeyEvent(self.display, code, 1, 0)
        for code in reversed(codes):
            self.xtest.XTestFakeKeyEvent(self.display, code, 0, 0)
        self.x11.XFlush(self.display)

    def type(self, text: str) -> None:
        """Type a text."""
        self.xdotool("type", "--delay", "30", text)

    def point(self, x: int, y: int) -> None:
        """Move the pointer."""
        self.xdotool("mousemove", str(x), str(y))

    def drag(self, x: int, y: int, to_x: int, to_y: int) -> None:
        """Press at one place, move in steps, release at the other."""
        self.point(x, y)
        time.sleep(0.2)
        self.xdotool("mousedown", "1")
        time.sleep(0.2)
        for step in range(1, 9):
            self.point(x + (to_x - x) * step // 8, y + (to_y - y) * step // 8)
            time.sleep(0.03)
        self.xdotool("mouseup", "1")

    def wipe(self, x: int, y: int, width: int, height: int) -> None:
        """Lay another window over a part of the screen and take it away again."""
        window = self.x11.XCreateSimpleWindow(
            self.display, self.root, x, y, width, height, 0, 0, 0xFFFFFF
        )
        self.x11.XMapRaised(self.display, window)
        self.x11.XFlush(self.display)
        time.sleep(0.5)
        self.x11.XDestroyWindow(self.display, window)
        self.x11.XFlush(self.display)
        time.sleep(0.5)

    def look(self, x: int = 0, y: int = 0, width: int = 0, height: int = 0) -> Frame:
        """What a part of the screen shows, R'G'B'; the whole screen by default."""
        width, height = width or self.width, height or self.height
        image = self.x11.XGetImage(
            self.display, self.root, x, y, width, height, ALL_PLANES, Z_PIXMAP
        )
        size = image.contents.bytes_per_line * height
        raw = np.ctypeslib.as_array(image.contents.data, (size,)).reshape(height, -1, 4)
        frame = raw[:, :width, 2::-1].copy()
        self.x11.XDestroyImage(image)
        return frame
