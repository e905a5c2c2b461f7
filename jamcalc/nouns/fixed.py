"""A mapping that cannot be changed by whoever reads it, and that can still be copied, pickled and written as JSON like any other."""

from __future__ import annotations

from typing import Any, Never, TypeVar

Value = TypeVar("Value")


class Fixed(dict[str, Value]):
    """A dictionary that is made once; any change is a TypeError."""

    def _refuse(self, *_: Any, **__: Any) -> Never:
        raise TypeError("what is known cannot be changed: make another with dataclasses.replace")

    __setitem__ = __delitem__ = __ior__ = update = pop = popitem = clear = setdefault = _refuse

    def __reduce__(self) -> tuple[type[Fixed[Value]], tuple[dict[str, Value]]]:
        """Copied and pickled whole: piece by piece would be a change."""
        return type(self), (dict(self),)
