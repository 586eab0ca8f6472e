"""The tables. Rows are only ever added: what stands now is derived from them.

Moments are text, ISO 8601 in UTC, so that every database keeps them alike.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

METADATA = MetaData()

SEQUENCE = BigInteger().with_variant(Integer(), "sqlite")

SITE_VERSION = Table(
    "site_version",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("site_id", String(200), nullable=False),
    Column("content_id", String(64), nullable=False),
    Column("document", Text, nullable=False),
    Column("loaded_at", String(40), nullable=False),
    Column("loaded_from", Text, nullable=False),
    Index("site_version_by_site", "site_id", "sequence"),
    sqlite_autoincrement=True,
)
"""Every version of a site that was loaded; the newest of a site stands."""

FIELD_RECORD = Table(
    "field_record",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("id", String(64), nullable=False, unique=True),
    Column("site_id", String(200), nullable=False),
    Column("site_version", SEQUENCE, ForeignKey("site_version.sequence"), nullable=False),
    Column("hole", Integer, nullable=False),
    Column("kind", String(10), nullable=False),
    Column("bunker", Text),
    Column("outline", Text),
    Column("number", Integer),
    Column("revision", Text),
    Column("practice", Boolean, nullable=False),
    Column("person", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("made_at", String(40), nullable=False),
    Column("received_at", String(40), nullable=False),
    Column("undoes", String(64)),
    Column("course_x", Double),
    Column("course_y", Double),
    Column("off_m", Double),
    Column("remarks", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("came_by", Text, nullable=False, server_default=""),
    Index("field_record_by_site", "site_id", "sequence"),
    Index("field_record_by_undoes", "undoes"),
    sqlite_autoincrement=True,
)
"""Every field record as it came. `body` is the record as sent, in JSON; `course_x` and `course_y`
(course metres) and `off_m` (ground metres) were computed through the grid of `site_version`; `remarks` says
what did not fit then; `came_by` is the name on the link by which it came, empty when it came by none."""

PHOTO = Table(
    "photo",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("id", String(64), nullable=False, unique=True),
    Column("site_id", String(200), nullable=False),
    Column("sent_hash", String(64), nullable=False),
    Column("media_type", String(40), nullable=False),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("content", LargeBinary, nullable=False),
    Column("device", Text, nullable=False),
    Column("received_at", String(40), nullable=False),
    Column("came_by", Text, nullable=False),
    Index("photo_by_site", "site_id", "sequence"),
    sqlite_autoincrement=True,
)
"""Every photo as it is shown: without anything but its picture. `id` was made on the phone and stands in the record
it belongs to; `sent_hash` is the SHA-256 (hex) of the bytes as they came."""

DRAFT = Table(
    "draft",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("site_id", String(200), nullable=False),
    Column("bunker_id", Text, nullable=False),
    Column("number", Integer, nullable=False),
    Column("state", String(20), nullable=False),
    Column("document", Text, nullable=False),
    Column("person", Text, nullable=False),
    Column("made_at", String(40), nullable=False),
    UniqueConstraint("site_id", "bunker_id", "number", name="draft_once"),
    sqlite_autoincrement=True,
)
"""Every save of a bunker's draft, numbered from 1; the newest of a bunker stands. `state` is open, issued or given up;
`document` is what `formats/draft.py` writes."""

ISSUE = Table(
    "issue",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("site_id", String(200), nullable=False),
    Column("bunker_id", Text, nullable=False),
    Column("revision", Text, nullable=False),
    Column("site_version", SEQUENCE, ForeignKey("site_version.sequence"), nullable=False),
    Column("came_from", Text, nullable=False),
    Column("person", Text, nullable=False),
    Column("why", Text, nullable=False),
    Column("acknowledged", Text, nullable=False),
    Column("issued_at", String(40), nullable=False),
    Index("issue_by_site", "site_id", "sequence"),
    sqlite_autoincrement=True,
)
"""Every revision that was issued here, with the site version it made. `came_from` is "draft 7" or "capture <id>";
`acknowledged` (JSON) lists what it comes too near to, as it was told to the person who issued it."""

BACKDROP = Table(
    "backdrop",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("id", String(64), nullable=False, unique=True),
    Column("site_id", String(200), nullable=False),
    Column("name", Text, nullable=False),
    Column("media_type", String(40), nullable=False),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("content", LargeBinary, nullable=False),
    Column("world", Text, nullable=False),
    Column("fitted_by", Text, nullable=False),
    Column("person", Text, nullable=False),
    Column("made_at", String(40), nullable=False),
    Index("backdrop_by_site", "site_id", "sequence"),
    sqlite_autoincrement=True,
)
"""Every picture to draw over. `world` (JSON) are the six numbers that take a pixel's centre (column, row) to course
metres, in the order of a world file; `fitted_by` says how they came about."""

BACKDROP_GONE = Table(
    "backdrop_gone",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("backdrop", String(64), nullable=False, unique=True),
    Column("person", Text, nullable=False),
    Column("made_at", String(40), nullable=False),
    sqlite_autoincrement=True,
)
"""Pictures that were taken off again."""

LINK = Table(
    "link",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("id", String(20), nullable=False, unique=True),
    Column("token_hash", String(64), nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("role", String(10), nullable=False),
    Column("is_crew", Boolean, nullable=False),
    Column("most_devices", Integer, nullable=False),
    Column("made_at", String(40), nullable=False),
    Column("ends_at", String(40)),
    sqlite_autoincrement=True,
)
"""Every invitation link that was made. `token_hash` is the SHA-256 (hex) of its secret part, which is not kept."""

LINK_DEVICE = Table(
    "link_device",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("link", SEQUENCE, ForeignKey("link.sequence"), nullable=False),
    Column("cookie_hash", String(64), nullable=False, unique=True),
    Column("kind", Text, nullable=False),
    Column("made_at", String(40), nullable=False),
    Index("link_device_by_link", "link"),
    sqlite_autoincrement=True,
)
"""Every device that a link let in. `cookie_hash` is the SHA-256 (hex) of its cookie, which only the device has."""

LINK_END = Table(
    "link_end",
    METADATA,
    Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
    Column("link", SEQUENCE, ForeignKey("link.sequence"), nullable=False),
    Column("ended_at", String(40), nullable=False),
    Index("link_end_by_link", "link"),
    sqlite_autoincrement=True,
)
"""Links that were ended, with all their devices, before their time. The first end of a link counts."""
