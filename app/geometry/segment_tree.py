"""A search tree over straight segments in plan."""

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray


def segment_lines(start: NDArray[np.int64], end: NDArray[np.int64]) -> NDArray[Any]:
    """The segments as shapely lines; `start` and `end` are (n, 2 or more), x and y first."""
    ends = np.stack((start[:, :2], end[:, :2]), axis=1).astype(np.float64)
    return np.atleast_1d(np.asarray(shapely.linestrings(ends), dtype=object))


def search_tree(geometries: NDArray[Any]) -> shapely.STRtree:
    """A tree that finds geometries by their boxes."""
    return shapely.STRtree(geometries.tolist())
