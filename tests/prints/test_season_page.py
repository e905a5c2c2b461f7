"""The season's page: its drawings are scaled to the paper, and their type with them."""

from __future__ import annotations

import re

import pytest

from jamcalc.prints import season_page
from jamcalc.prints.paper import PAPERS, SMALLEST_PT


@pytest.mark.parametrize("paper", list(PAPERS))
def test_no_type_of_a_drawing_is_too_small_to_read(paper: str) -> None:
    (px,) = re.findall(r"svg text { font-size: ([\d.]+)px", season_page.STYLE)
    (margin_in,) = re.findall(r"padding: [\d.]+in ([\d.]+)in", season_page.STYLE)
    drawn_pt = 72 * (PAPERS[paper].inches[0] - 2 * float(margin_in))
    assert float(px) * drawn_pt / season_page.WIDTH >= SMALLEST_PT
