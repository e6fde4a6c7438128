"""The exceptions of the package. Each has one sentence that says what is wrong and where, and often a hint."""

from __future__ import annotations


class ThirstlineError(Exception):
    """Any error of the package.

    Attributes:
        message: One sentence without a full stop.
        hint: A suggestion; may be empty.
    """

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.message}; {self.hint}" if self.hint else self.message


class NoDataError(ThirstlineError, LookupError):
    """A valid question, but the file has no data there, or no such postal code."""


class QuestionError(ThirstlineError, ValueError):
    """The question is not valid, such as a latitude of 91."""


class AmbiguousPostalCodeError(QuestionError):
    """Several countries have this postal code: name one of them.

    Attributes:
        countries: Two letters each, sorted.
    """

    def __init__(self, message: str, hint: str, countries: tuple[str, ...]) -> None:
        super().__init__(message, hint)
        self.countries = countries


class BadFileError(ThirstlineError):
    """The file is damaged, not a Thirstline file, or of an unsupported version."""


class FileAccessError(ThirstlineError, OSError):
    """The operating system refused: no such file, no permission; or the file was changed while it was open."""


class LibraryError(ThirstlineError):
    """libthirstline cannot be loaded, or reported an internal error."""
