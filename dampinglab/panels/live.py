"""A picture that follows a slider: only what moves is drawn anew, on a background kept ready."""

import base64
import html
import io
from pathlib import Path

import ipywidgets as widgets
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from PIL import Image

from dampinglab.figures.look import Scene, palette
from dampinglab.units import minus

__all__ = ["LivePicture", "as_png"]


def _palette_image() -> Image.Image:
    """Return the holder of the course's colours that the PNG writer asks for."""
    colours = palette()
    holder = Image.new("P", (1, 1))
    flat = [channel for colour in colours for channel in colour]
    # The writer wants 256 colours; the last one is repeated, so that no stranger gets in.
    holder.putpalette(flat + flat[-3:] * (256 - len(colours)))
    return holder


_PALETTE = _palette_image()


def as_png(pixels: np.ndarray) -> bytes:
    """Return pixels (height, width, RGB) as a small PNG in the course's own colours."""
    image = Image.fromarray(np.ascontiguousarray(pixels))
    image = image.quantize(palette=_PALETTE, dither=Image.Dither.NONE)
    stream = io.BytesIO()
    image.save(stream, "PNG", compress_level=1)
    return stream.getvalue()


class LivePicture:
    """A figure that stays, shown as an image with words for those who do not see it."""

    def __init__(self, scene: Scene) -> None:
        self.widget = widgets.HTML()
        self.alternative = ""
        self.swap(scene)

    def swap(self, scene: Scene) -> None:
        """Show another scene in the same place, as when the projector is switched on."""
        self.scene = scene
        self._canvas = FigureCanvasAgg(scene.figure)
        self._background = self._seen = None
        self._set_animated(True)

    def show(self, alternative: str) -> None:
        """Put what the artists now hold on the screen, with its alternative text."""
        self.alternative = minus(alternative)
        self.widget.value = self.markup()

    def markup(self) -> str:
        """Return what goes on the page: the picture as an image, with its words."""
        picture = base64.b64encode(as_png(self.pixels())).decode("ascii")
        return (
            f'<img class="dl-picture" alt="{html.escape(self.alternative)}" '
            f'src="data:image/png;base64,{picture}">'
        )

    def pixels(self) -> np.ndarray:
        """Return the picture as an array (height, width, RGB), drawing only what moved."""
        limits = self._limits()
        if limits != self._seen:
            self._canvas.draw()
            self._background, self._seen = self._canvas.copy_from_bbox(self._all), limits
        self._canvas.restore_region(self._background)
        for artist in self.scene.moving.values():
            self.scene.figure.draw_artist(artist)
        return np.asarray(self._canvas.buffer_rgba())[..., :3]

    def save(self, path: str | Path) -> None:
        """Write the picture as it stands to a file."""
        self._set_animated(False)
        try:
            self.scene.figure.savefig(path)
        finally:
            self._set_animated(True)
            self._seen = None

    @property
    def _all(self):
        return self.scene.figure.bbox

    def _limits(self) -> tuple:
        """Return what the background depends on."""
        spans = [(*axes.get_xlim(), *axes.get_ylim()) for axes in self.scene.figure.axes]
        return (*spans, *self._all.bounds)

    def _set_animated(self, animated: bool) -> None:
        for artist in self.scene.moving.values():
            artist.set_animated(animated)
