"""Adding a part and changing it, by the form its kind declares."""

import pytest
from django.urls import reverse

from parts.catalogue.models import Fact, Part
from tests.factories import PartFactory, once

ADD = reverse("catalogue:add")
NEW_FAN = {
    "kind": "fan", "name": "Fan 120 mm, slow", "origin": "declared", "fact_size": "120 mm",
    "fact_free_flow": "61 CFM", "fact_max_pressure": "1,8 mmH2O", "fact_start_speed": "30 %",
}  # fmt: skip


def fields(part, **changed):
    """What the edit form would send, unchanged but for `changed`."""
    from parts.catalogue.forms import PartForm

    form = PartForm(instance=Part.objects.get(pk=part.pk), kind=part.spec, person=None)
    sent = {bound.name: bound.value() for bound in form}
    sent = {name: value for name, value in sent.items() if value not in (None, False)}
    return {**sent, "origin": "declared", **changed}


@pytest.fixture
def radiator(db):
    return PartFactory(
        kind="radiator", name="Radiator 3×120", facts={"thickness": 30.0, "wetted_metals": "copper, brass"}
    )


def test_the_kind_comes_first(owner_client):
    page = owner_client.get(ADD).content.decode()
    assert "?kind=pump_reservoir" in page


def test_a_part_is_added_with_its_facts_as_typed(owner_client):
    answer = owner_client.post(ADD, once(**NEW_FAN))
    part = Part.objects.get()
    assert answer.url == reverse("catalogue:part", args=[part.pk])
    assert part.fact("free_flow") == pytest.approx(103.64, abs=0.01)
    assert part.fact("max_pressure") == pytest.approx(17.65, abs=0.01)
    assert part.fact("start_speed") == 0.3
    assert set(part.facts.values_list("origin", flat=True)) == {"declared"}


def test_a_helper_may_add_what_was_measured(helper_client):
    helper_client.post(ADD, once(**{**NEW_FAN, "origin": "measured"}))
    assert Fact.objects.filter(origin="measured").count() == 4


def test_sent_twice_makes_one(owner_client):
    form = once(**NEW_FAN)
    assert [owner_client.post(ADD, form).status_code for _ in range(2)] == [302, 302]
    assert Part.objects.count() == 1


def test_a_wrong_unit_is_told_at_its_field_and_nothing_is_lost(owner_client):
    page = owner_client.post(ADD, once(**{**NEW_FAN, "fact_free_flow": "61 W"})).content.decode()
    assert not Part.objects.exists()
    assert "is a power, not a volume flow" in page
    assert 'value="61 W"' in page
    assert 'value="1,8 mmH2O"' in page


def test_a_negative_length_is_told_with_its_bound(owner_client):
    page = owner_client.post(ADD, once(**{**NEW_FAN, "fact_size": "-120 mm"})).content.decode()
    assert "too low: at least 40 mm" in page


def test_a_second_part_of_that_name_is_refused(owner_client):
    PartFactory(kind="fan", name="Fan 120 mm, slow")
    page = owner_client.post(ADD, once(**NEW_FAN)).content.decode()
    assert "of this name already" in page
    assert Part.objects.count() == 1


def test_a_core_deeper_than_the_radiator_is_refused_at_the_core(owner_client, radiator):
    address = reverse("catalogue:edit", args=[radiator.pk])
    page = owner_client.post(address, once(**fields(radiator, fact_core_depth="40 mm"))).content.decode()
    assert "is not possible with thickness 30 mm" in page
    assert radiator.facts.count() == 2


def test_only_what_changed_takes_the_chosen_origin(owner_client, radiator):
    address = reverse("catalogue:edit", args=[radiator.pk])
    sent = fields(radiator, fact_thickness="29.6 mm", fact_sections="3", origin="measured")
    assert owner_client.post(address, once(**sent)).status_code == 302
    kept = {(f.name, f.origin): f.value for f in radiator.facts.all()}
    assert kept == {
        ("thickness", "declared"): 30.0, ("thickness", "measured"): 29.6, ("sections", "measured"): 3.0,
        ("wetted_metals", "declared"): "copper, brass",
    }  # fmt: skip
    page = owner_client.get(reverse("catalogue:part", args=[radiator.pk])).content.decode()
    assert "29.6 mm" in page
    assert "measured by us" in page
    assert "set aside" in page


def test_an_emptied_field_forgets_the_fact(owner_client, radiator):
    address = reverse("catalogue:edit", args=[radiator.pk])
    owner_client.post(address, once(**fields(radiator, fact_thickness="")))
    assert set(radiator.facts.values_list("name", flat=True)) == {"wetted_metals"}


def test_an_untouched_form_changes_nothing(owner_client, radiator):
    address = reverse("catalogue:edit", args=[radiator.pk])
    before = list(radiator.facts.values_list())
    assert owner_client.post(address, once(**fields(radiator))).status_code == 302
    assert list(radiator.facts.values_list()) == before


def test_a_stale_form_is_shown_what_somebody_else_stored(owner_client, radiator, owner):
    address = reverse("catalogue:edit", args=[radiator.pk])
    mine = once(**fields(radiator, name="Mine", fact_thickness="31 mm"))
    theirs = once(**fields(radiator, name="Theirs", fact_thickness="32 mm"))
    assert owner_client.post(address, theirs).status_code == 302
    page = owner_client.post(address, mine).content.decode()
    assert "Now stored: Theirs" in page
    assert "Now stored: 32 mm" in page
    assert 'value="31 mm"' in page
    assert Part.objects.get(pk=radiator.pk).name == "Theirs"


def test_a_part_that_is_not_there(owner_client):
    for name in ("part", "edit"):
        assert owner_client.get(reverse(f"catalogue:{name}", args=[9999])).status_code == 404


def test_a_missing_fact_says_which_check_asks_for_it(owner_client, radiator):
    page = owner_client.get(reverse("catalogue:part", args=[radiator.pk])).content.decode()
    assert "asked for by: thermal" in page
