"""A rule: its name, where it stands, and how its findings are said."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from parts.kinds import all_kinds

from .findings import CAUTION, NOTE, STOP, Finding


@dataclass(frozen=True)
class Rule:
    """key: stored with waivers. label: as a page shows it. source: the published rule, or common practice."""

    key: str
    label: str
    source: str

    def stop(self, sentence, action, *lines, **numbers):
        return self._say(STOP, sentence, action, lines, numbers)

    def caution(self, sentence, action, *lines, **numbers):
        return self._say(CAUTION, sentence, action, lines, numbers)

    def note(self, sentence, action, *lines, **numbers):
        return self._say(NOTE, sentence, action, lines, numbers)

    def missing(self, line, *names, severity=CAUTION):
        """A fact that is not known never passes: say which, and from which part."""
        labels = ", ".join(fact_label(line.kind, name) for name in names)
        return self._say(
            severity,
            _("Not known of %(part)s: %(facts)s. So this is not checked.") % {"part": line.part, "facts": labels},
            _("Add it to the part in the catalogue, measured or as declared."),
            (line,),
            {"missing": ", ".join(names)},
        )

    def unless_known(self, line, *names, severity=CAUTION):
        """[] when all these facts are known, else the one finding that names those that are not."""
        lacking = [name for name in names if name not in line.facts]
        return [self.missing(line, *lacking, severity=severity)] if lacking else []

    def _say(self, severity, sentence, action, lines, numbers):
        return Finding(
            severity=severity,
            sentence=str(sentence),
            action=str(action),
            rule=self.key,
            source=str(self.source),
            roles=tuple(dict.fromkeys(line.role for line in lines)),
            parts=tuple(dict.fromkeys(line.part for line in lines)),
            numbers=tuple(sorted(numbers.items())),
        )


def kind_label(kind):
    """What a person calls a kind of part."""
    declared = all_kinds().get(kind)
    return str(declared.label) if declared else kind.replace("_", " ")


def fact_label(kind, name):
    """What a person calls a fact; its own name where no kind declares it."""
    declared = all_kinds().get(kind)
    spec = declared.fact(name) if declared else None
    return str(spec.label) if spec else name.replace("_", " ")
