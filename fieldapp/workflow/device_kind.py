"""What kind of phone or computer a browser says it is, in plain words."""

from __future__ import annotations

UNKNOWN = "a device that does not say what it is"
SYSTEMS = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android tablet"),
    ("CrOS", "Chromebook"),
    ("Windows", "Windows computer"),
    ("Macintosh", "Mac or iPad"),
    ("Linux", "Linux computer"),
)
BROWSERS = (
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser", "Samsung's browser"),
    ("Firefox/", "Firefox"),
    ("FxiOS", "Firefox"),
    ("CriOS", "Chrome"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
)


def device_kind(user_agent: str) -> str:
    """Return for instance "Android phone, Firefox" of the header that a browser sends of itself.

    Later names hold earlier ones' words (every Chrome says Safari, every Android says Linux): the first found counts.
    """
    system = _first(SYSTEMS, user_agent)
    if system == "Android tablet" and "Mobile" in user_agent:
        system = "Android phone"
    return ", ".join(word for word in (system, _first(BROWSERS, user_agent)) if word) or UNKNOWN


def _first(table: tuple[tuple[str, str], ...], user_agent: str) -> str:
    return next((words for sign, words in table if sign in user_agent), "")
