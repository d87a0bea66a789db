"""Parts that can no longer be bought."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from .rule import Rule

RULE = Rule("withdrawn", _l("withdrawn parts"), _l("common practice"))


def check(build):
    return [
        RULE.caution(
            _("%(part)s is withdrawn.") % {"part": line.part},
            _("Its successor is %(successor)s.") % {"successor": line.successor}
            if line.successor
            else _("Choose another part, or make sure that it lies on the shelf."),
            line, successor=line.successor,
        )
        for line in build.lines
        if line.withdrawn and not line.client_supplied
    ]  # fmt: skip
