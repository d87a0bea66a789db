"""A parts list sent through its pages, as a person would."""

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from parts.catalogue.drafts import ImportDraft
from tests.factories import once

SEND = reverse("catalogue:import")
LIST = """Teil;Art;Lieferant;Preis;Menge;Bemerkung;Thickness (mm)
Radiator 3×120;radiator;Tidewater Cooling;74,20;1;re-tap to M4;30

Fan 120 × 25;Lüfter;Tidewater Cooling;€ 17.35;6;one spare;25
Sleeving, black;gizmo;Bench Wire;7,50;1;;
Clear tube 13 mm;tube;Bench Wire;;2,5;metres;
"""


def file(text=LIST, name="list.csv"):
    return SimpleUploadedFile(name, text if isinstance(text, bytes) else text.encode())


def send(client, text=LIST):
    answer = client.post(SEND, once(file=file(text)))
    assert answer.status_code == 302, answer.context["form"].errors
    return ImportDraft.objects.order_by("-pk").first()


def match(client, draft, **changed):
    """Send the columns page as it stands, but for `changed`."""
    address = reverse("catalogue:import_columns", args=[draft.pk])
    form = client.get(address).context["form"]
    sent = {bound.name: bound.value() for bound in form if bound.value() not in (None, False)}
    return client.post(address, {**sent, **changed})


def page_of(draft):
    return reverse("catalogue:import_preview", args=[draft.pk])


def correct(client, draft, **cells):
    return client.post(page_of(draft), once(version=ImportDraft.objects.get(pk=draft.pk).version, **cells))


def save(client, draft, **data):
    return client.post(reverse("catalogue:import_save", args=[draft.pk]), data or once(), follow=True)
