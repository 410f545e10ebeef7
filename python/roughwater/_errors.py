"""What is raised where an input cannot be used."""

from __future__ import annotations

from typing import Any


class RoughwaterError(Exception):
    """An input that cannot be used, in the words of the command; nothing has been written.

    `str(error)` is what the command prints behind `error: `. Its parts, each a `str` or None where it is not told:

    problem    what is wrong, in a sentence
    file       the file or other input
    place      where in it: line, column, key
    found      what stands there
    expected   what should stand there
    remedy     how to mend it
    """

    def __init__(
        self,
        message: str,
        *,
        problem: str | None = None,
        file: str | None = None,
        place: str | None = None,
        found: str | None = None,
        expected: str | None = None,
        remedy: str | None = None,
    ) -> None:
        super().__init__(message)
        self.problem = problem if problem is not None else message
        self.file = file
        self.place = place
        self.found = found
        self.expected = expected
        self.remedy = remedy

    def __reduce__(self) -> tuple[Any, ...]:
        # workers of a cluster hand errors on to their caller
        return _made, (str(self), dict(self.__dict__))


def _made(message: str, parts: dict[str, str | None]) -> RoughwaterError:
    return RoughwaterError(message, **parts)
