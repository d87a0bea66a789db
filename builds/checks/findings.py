"""What a sanity check says."""

import hashlib
import json
from dataclasses import dataclass, replace
from typing import Literal

STOP, CAUTION, NOTE = "stop", "caution", "note"
ORDER = {STOP: 0, CAUTION: 1, NOTE: 2}


@dataclass(frozen=True)
class Finding:
    """One thing a check has to say.

    sentence: plain, with the numbers. action: what to do. rule: the check's name. source: where the rule stands.
    roles: names of the roles concerned. parts: names of the parts. numbers: what the sentence rests on.
    waived_because, waived_by: reason and person of the waiver that covers it; empty while there is none.
    """

    severity: Literal["stop", "caution", "note"]
    sentence: str
    action: str
    rule: str
    source: str
    roles: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    numbers: tuple[tuple[str, float | str], ...] = ()
    waived_because: str = ""
    waived_by: str = ""

    @property
    def fingerprint(self):
        """Changes with rule, severity, roles, parts and numbers: a waiver of it is void then."""
        said = json.dumps([self.rule, self.severity, sorted(self.roles), sorted(self.parts), self.numbers], default=str)
        return hashlib.sha256(said.encode()).hexdigest()

    @property
    def waived(self):
        return bool(self.waived_because)

    @property
    def wants(self):
        """Names of the facts that are not known, when that is all it says."""
        return next((tuple(value.split(", ")) for name, value in self.numbers if name == "missing"), ())

    @property
    def asks(self):
        """Does it only ask for facts, and hold nothing up?"""
        return bool(self.wants) and self.severity != STOP

    @property
    def holds_up(self):
        """Is it a stop that nobody has waived? Then no quote goes out and that part is not ordered."""
        return self.severity == STOP and not self.waived

    def under(self, waiver):
        """The same finding, covered by a waiver."""
        return replace(self, waived_because=waiver.reason, waived_by=str(waiver.person))


def in_order(findings):
    """Findings as every page shows them: stops, cautions, notes; then by rule, role and sentence."""
    return sorted(findings, key=lambda f: (ORDER[f.severity], f.rule, f.roles, f.sentence))
