"""A parts list saved whole or not at all, with its suppliers and prices; and taken back while nothing builds on it."""

from django.db import transaction
from django.db.models import ProtectedError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.catalogue.drafts import ImportDraft
from parts.catalogue.models import Fact, Part
from parts.workshop import audit
from parts.workshop.models import Workshop
from parts.workshop.refusal import Refused

from .models import Supplier, SupplierPrice


@transaction.atomic
def save_list(draft, by):
    """Save every row of a list: parts found or made, facts, suppliers made if asked, prices. Raises Refused."""
    draft.claim()
    reading = draft.read(Supplier.objects.currencies())
    if reading.problems:
        count = len(reading.wrong)
        words = ngettext(
            "Nothing was saved: %(count)d row still has a problem. Correct it or leave it out.",
            "Nothing was saved: %(count)d rows still have a problem. Correct them or leave them out.",
            count,
        )
        raise Refused(words % {"count": count})
    if not reading.lines:
        raise Refused(_("There is no row to save in this list."))
    parts, changes = Part.objects.take_lines(reading.lines, draft.origin)
    suppliers, changes["suppliers"] = Supplier.objects.take_lines(reading.lines, Workshop.current().currency)
    prices = SupplierPrice.objects.take_lines(reading.lines, parts, suppliers)
    changes["prices"], changes["prices changed"] = prices
    draft.keep([(parts[line.key], line.quantity, line.remark) for line in reading.lines], changes, by)


@transaction.atomic
def undo_list(draft, by):
    """Take back what saving a list made, as long as nobody built on it or changed it since. Raises Refused."""
    open_lists = ImportDraft.objects.filter(pk=draft.pk, saved_at__isnull=False, undone_at=None)
    if not open_lists.update(undone_at=timezone.now()):
        raise Refused(_("This list is not saved, or was taken back already."))
    changes = draft.changes
    _restore(SupplierPrice, changes["prices changed"])
    _restore(Part, changes.get("parts changed", ()))
    _restore_facts(changes["facts"])
    _delete(SupplierPrice, changes["prices"])
    others = Part.objects.filter(pk__in=changes["parts"], prices__isnull=False).first()
    if others:
        words = _("“%(part)s” has been given another price since; this list cannot be taken back.")
        raise Refused(words % {"part": others})
    _delete(Part, changes["parts"])
    used = Supplier.objects.filter(pk__in=changes["suppliers"], prices__isnull=False).first()
    if used:
        raise Refused(_("%(supplier)s has other prices now; this list cannot be taken back.") % {"supplier": used})
    _delete(Supplier, changes["suppliers"])
    audit.record(by, "parts list taken back", f"parts list {draft.pk}", before={"rows": len(draft.saved)})


def _restore(model, changed):
    """Put fields back as they were; Refused once changed again. changed: [[pk, version, {field: value before}]]."""
    rows = model.objects.in_bulk([pk for pk, _version, _before in changed])
    for pk, version, before in changed:
        row = rows.get(pk)
        if row is None or row.version != version:
            words = _("“%(row)s” was changed since; this list cannot be taken back. Change its rows one by one.")
            raise Refused(words % {"row": row or model._meta.verbose_name})
        for name, value in before.items():
            setattr(row, name, row._meta.get_field(name).to_python(value))
        row.version += 1
        row.save()


def _restore_facts(changed):
    stored = Fact.objects.filter(part__in={pk for pk, *_rest in changed})
    now = {(fact.part_id, fact.name, fact.origin): fact for fact in stored}
    for pk, name, origin, _before, value in changed:
        fact = now.get((pk, name, origin))
        if fact is None or fact.value != value:
            raise Refused(_("A fact was changed since; this list cannot be taken back. Change its parts one by one."))
    gone = [now[pk, name, origin].pk for pk, name, origin, before, _value in changed if before is None]
    Fact.objects.filter(pk__in=gone).delete()
    put_back = [row for row in changed if row[3] is not None]
    Fact.objects.write(Fact.of(pk, name, before, origin) for pk, name, origin, before, _value in put_back)


def _delete(model, keys):
    """Delete rows that this list made; Refused when one was changed or is used."""
    rows = model.objects.filter(pk__in=keys)
    touched = rows.filter(version__gt=1).first()
    try:
        if touched:
            raise Refused(_("“%(row)s” was changed since; this list cannot be taken back.") % {"row": touched})
        rows.delete()
    except ProtectedError as error:
        holder = next(iter(error.protected_objects))
        words = {"holder": holder}
        raise Refused(_("A part of this list is used already (%(holder)s); it cannot be taken back.") % words) from None
