"""Every address, walked as nobody, as a helper and as the owner."""

import pytest
from django.urls import URLPattern, URLResolver, get_resolver

OPEN_TO_ALL = {"login", "logout"}


def patterns(resolver=None, prefix=()):
    for item in (resolver or get_resolver()).url_patterns:
        if isinstance(item, URLResolver):
            yield from patterns(item, (*prefix, item.namespace) if item.namespace else prefix)
        elif isinstance(item, URLPattern):
            yield ":".join([*prefix, item.name or ""]), item


ALL = [pytest.param(name, item, id=name) for name, item in patterns()]


def address(name, item):
    from django.urls import reverse

    converters = item.pattern.converters
    kinds = {key: type(conv).__name__ for key, conv in converters.items()}
    values = {key: "none" if kinds[key] in {"StringConverter", "SlugConverter"} else 999999 for key in converters}
    return reverse(name, kwargs=values)


@pytest.mark.parametrize(("name", "item"), ALL)
def test_every_view_says_who_may_open_it(name, item):
    if name not in OPEN_TO_ALL:
        assert hasattr(item.callback, "roles"), f"{name} has no @for_owner, @for_workshop or @for_anyone"


@pytest.mark.django_db
@pytest.mark.parametrize(("name", "item"), ALL)
def test_nobody_is_sent_to_log_in(client, name, item):
    roles = getattr(item.callback, "roles", None)
    if name in OPEN_TO_ALL or roles == frozenset():
        return
    answer = client.get(address(name, item))
    assert answer.status_code == 302, name
    assert answer.url.startswith("/login/")


@pytest.mark.parametrize(("name", "item"), ALL)
def test_a_helper_is_kept_from_the_owners_pages(helper_client, name, item):
    if "owner" in getattr(item.callback, "roles", ()) and "workshop" not in item.callback.roles:
        assert helper_client.get(address(name, item)).status_code in {403, 405}, name


@pytest.mark.parametrize(("name", "item"), ALL)
def test_no_address_breaks_for_something_missing(owner_client, name, item):
    if name not in OPEN_TO_ALL:
        for method in (owner_client.get, owner_client.post):
            assert method(address(name, item)).status_code < 500, name
