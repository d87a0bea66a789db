import pytest

from parts.catalogue.drafts import ImportDraft

from .sending import match, send


@pytest.fixture
def draft(owner_client):
    """The list, sent and matched, with its wrong kind still in it."""
    draft = send(owner_client)
    assert match(owner_client, draft).status_code == 302
    return ImportDraft.objects.get(pk=draft.pk)
