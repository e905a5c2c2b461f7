"""What a user writes with the types that jamcalc brings: read by `mypy --strict`, never run.

Under strict, an ignore that is not needed is an error too: each line below that is wrong on purpose must be found wrong.
"""

from pathlib import Path
from typing import assert_type

import jamcalc

answer = jamcalc.batch(["3 lb plums"], sweetener="honey", altitude="4300 ft", set="firm", kitchen=jamcalc.Kitchen(altitude_ft=4300.0))
assert_type(answer, jamcalc.BatchResult)
assert_type(answer.acidity.ph, jamcalc.Estimate)
assert_type(answer.acidity.ph.high, float)
assert_type(answer.findings[0], jamcalc.Finding)
assert_type(answer.to_dict(), dict[str, object])
assert_type(jamcalc.check(Path("mine.toml"), altitude=4300), jamcalc.BatchResult)
assert_type(jamcalc.check({"title": "Mine", "ingredients": ["3 lb plums"]}), jamcalc.BatchResult)
assert_type(jamcalc.scale("strawberry-rhubarb", times=1.5), jamcalc.Recipe)
assert_type(jamcalc.scale_answer("strawberry-rhubarb", want="9 half-pints"), jamcalc.ScaleAnswer)
assert_type(jamcalc.card("strawberry-rhubarb", date="2026-07-14"), jamcalc.CardAnswer)
assert_type(jamcalc.card("strawberry-rhubarb").card, jamcalc.Card)
assert_type(jamcalc.card("strawberry-rhubarb").to_html("lid", sheet="a4"), str)
assert_type(jamcalc.acidity.mixture_ph({"citric": 0.05}), float)
with jamcalc.Book("book.sqlite") as book:
    assert_type(book.keep(answer), int)

jamcalc.batch(["3 lb plums"], colour="red")  # type: ignore[call-arg]
jamcalc.batch(["3 lb plums"], set="hard")  # type: ignore[arg-type]
jamcalc.batch(["3 lb plums"], draws="many")  # type: ignore[arg-type]
jamcalc.batch([3])  # type: ignore[list-item]
jamcalc.check("mine.toml", set="firm")  # type: ignore[call-arg]
jamcalc.scale("mine.toml", times=[2])  # type: ignore[arg-type]
jamcalc.card("mine.toml", kind="lid")  # type: ignore[call-arg]
answer.storage = "cold"  # type: ignore[misc]
brewed = jamcalc.brew  # type: ignore[attr-defined]

try:
    jamcalc.check("mine.toml")
except jamcalc.RecipeError as error:
    assert_type(error.problems, list[str])
except jamcalc.UnknownItem as error:
    assert_type(error.near, tuple[str, ...])
except jamcalc.JamcalcError as error:
    assert_type(error.exit_code, int)
