"""Names of learners: free text in any script, as long as it can be kept and shown."""

from trainer.refusal import Refused


def learner_name(name: str) -> str:
    """Return a learner's name, fit to be kept.

    Raises
    ------
    Refused
        If it is empty, holds control characters, or is no valid Unicode (a terminal of another encoding).
    """
    try:
        name.encode("utf-8")
    except UnicodeEncodeError:
        shown = name.encode("utf-8", "backslashreplace").decode("utf-8")
        raise Refused(
            f"the name {shown!r} is not valid UTF-8: is the terminal set to another encoding?"
        ) from None
    if not name.strip() or not name.isprintable():
        raise Refused(
            f"the name {name!r} cannot be used: a name has at least one letter and no control characters"
        )
    return name.strip()
