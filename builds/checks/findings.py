"""What a sanity check says."""

import hashlib
import json
from dataclasses import dataclass
from typing import Literal

STOP, CAUTION, NOTE = "stop", "caution", "note"
ORDER = {STOP: 0, CAUTION: 1, NOTE: 2}


@dataclass(frozen=True)
class Finding:
    """One thing a check has to say.

    sentence: plain, with the numbers. action: what to do. rule: the check's name. source: where the rule stands.
    roles: names of the roles concerned. parts: names of the parts. numbers: what the sentence rests on.
    """

    severity: Literal["stop", "caution", "note"]
    sentence: str
    action: str
    rule: str
    source: str
    roles: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    numbers: tuple[tuple[str, float | str], ...] = ()

    @property
    def fingerprint(self):
        """Changes with rule, roles, parts and numbers: a waiver of it is void then."""
        said = json.dumps([self.rule, self.severity, sorted(self.roles), sorted(self.parts), self.numbers], default=str)
        return hashlib.sha256(said.encode()).hexdigest()
