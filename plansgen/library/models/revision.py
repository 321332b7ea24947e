"""``revisions/B/revision.yaml``: what a frozen revision holds."""

from __future__ import annotations

import datetime
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from plansgen.library.models.fields import FileModel, Prose

Digest = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
Letter = Annotated[str, StringConstraints(pattern=r"^[A-Z]{1,2}$")]
FileName = Annotated[str, StringConstraints(min_length=1, max_length=250)]


class FrozenFile(FileModel):
    """One file of a frozen revision."""

    file: FileName = Field(description="Its name in the folder.")
    sha256: Digest = Field(description="Hash of its bytes.")


class RevisionFile(FileModel):
    """What a frozen revision holds, and why it was made."""

    plansgen: Literal[1] = Field(description="Version of this file format.")
    revision: Letter = Field(description="Revision letter.")
    date: datetime.date = Field(description="Date of the revision, as its design file says.")
    because: Prose = Field(description="What was changed, and why.")
    files: tuple[FrozenFile, ...] = Field(
        min_length=1, max_length=1000, description="Every file, sorted by name."
    )
    whole: Digest = Field(description="Hash of all the lines above.")
