from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from builds.jobs.models import Job, Stage
from builds.quotes.models import Issue, Quote
from parts.orders.models import OrderLine
from parts.shelf.models import Unit
from parts.workshop import audit
from tests.board.scenes import Scene, days
from tests.factories import ClientFactory, JobFactory, SpecVersionFactory, TaskFactory

pytestmark = pytest.mark.django_db


def page(client, **query):
    return client.get(reverse("board:board"), query).content.decode()


def test_an_empty_board_says_what_to_do_first(owner_client, helper_client):
    assert "Open the first enquiry" in page(owner_client)
    assert reverse("jobs:enquiry") in page(owner_client)
    assert reverse("jobs:enquiry") not in page(helper_client)


def test_a_line_says_all_of_a_job(owner_client):
    Scene(parts=4).job(41, stage=Stage.GATHERING, promise=2)
    OrderLine.objects.update(promised=days(5))
    Job.objects.update(title="Quiet cutting-room workstation")
    board = page(owner_client)
    assert "J-0041" in board
    assert "Quiet cutting-room workstation" in board
    assert "Client of the scene" in board
    assert "stage 4 of 7: gathering" in board
    assert "Rinse 2" in board, "the first task not done whose part is here or expected"
    assert "role 3, not ordered, and 1 more" in board
    assert "1.5 of 20 h" in board
    assert "1,240.00" in board
    assert "late" in board


def test_closed_jobs_are_not_on_it(owner_client):
    JobFactory(title="Gone", stage=Stage.HANDED_OVER)
    JobFactory(title="Here")
    board = page(owner_client)
    assert "Here" in board
    assert "Gone" not in board


def test_what_endangers_a_promise_comes_first(owner_client):
    scene = Scene(parts=2)
    for number, promise in ((1, 40), (2, -3), (3, None), (4, 12)):
        scene.job(number, promise=promise)
    board = page(owner_client)
    places = [board.index(f"J-000{number}") for number in (2, 4, 1, 3)]
    assert places == sorted(places)


def test_the_sentence_on_top_counts(owner_client):
    for number in range(6):
        job = JobFactory(promise=days(200))
        TaskFactory(job=job, hours_likely=1 + number)
    assert "Six live jobs. No promise in danger." in page(owner_client)
    Job.objects.filter(pk=job.pk).update(promise=days(-1))
    assert "Six live jobs. One promise in danger, by the hours left." in page(owner_client)
    Scene(parts=4).job(900, promise=3)
    OrderLine.objects.update(promised=days(30))
    assert "Seven live jobs. Two promises in danger, by one part and by the hours left." in page(owner_client)


def test_a_paused_job_says_why(owner_client):
    TaskFactory(job=JobFactory(stage=Stage.BENCH, paused_because="client moves house"))
    assert "paused: client moves house" in page(owner_client)


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        ({"purpose": "", "room_warmest_c": None}, "missing: purpose, room temperature"),
        ({"purpose": "films", "room_warmest_c": 26}, "Write the spec"),
    ],
)
def test_an_enquiry_says_what_it_lacks(owner_client, facts, says):
    JobFactory(**facts)
    assert says in page(owner_client)


def offered(state, valid_until, stage=Stage.QUOTED):
    job = JobFactory(stage=stage, purpose="films", room_warmest_c=26)
    return Issue.objects.create(
        quote=Quote.objects.create(job=job, number=52), number=2, spec=SpecVersionFactory(job=job), state=state,
        currency="EUR", margin_percent=Decimal(15), valid_until=valid_until,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("state", "until", "says"),
    [
        ("drafted", None, "Send Q-0052 issue 2"),
        ("sent", 4, "Q-0052 issue 2 lapses"),
        ("sent", -4, "Q-0052 lapsed"),
        ("declined", 4, "Offer anew, or close the enquiry"),
    ],
)
def test_a_quote_out_says_what_becomes_of_it(owner_client, state, until, says):
    offered(state, days(until) if until else None)
    assert says in page(owner_client)


def test_when_all_tasks_are_done_proving_and_hand_over_follow(owner_client):
    job = JobFactory(stage=Stage.PROVING)
    TaskFactory(job=job, done_at=timezone.now())
    assert "5 gates open" in page(owner_client)


def test_the_workshop_role_sees_no_client_and_no_money(helper_client):
    Scene().job(7)
    board = page(helper_client)
    assert "J-0007" in board
    assert "Client of the scene" not in board
    assert "1,240.00" not in board
    assert "to be paid" not in board.replace('data-word="to be paid"', "")


class TestSearch:
    @pytest.fixture(autouse=True)
    def _two(self):
        scene = Scene(parts=3)
        self.job = scene.job(41, title="Cutting room")
        scene.client = ClientFactory(name="Marlow Films")
        self.other = scene.job(77, title="Render pair")
        Unit.objects.create(part=scene.parts[0], serial="ZX-99-17", tray=self.job.tray)
        spec = self.other.spec_versions.get()
        spec.lines.last().part.__class__.objects.filter(pk=spec.lines.last().part_id).update(search="no such thing")

    def titles(self, client, words):
        found = page(client, q=words)
        return [job.title for job in (self.job, self.other) if job.title in found]

    @pytest.mark.parametrize("words", ["cutting", "J-0041", "41", "zx-99", "cutting zx-99-17"])
    def test_finds_by_title_number_and_serial(self, helper_client, words):
        assert self.titles(helper_client, words) == ["Cutting room 41"]

    def test_finds_by_a_parts_name(self, helper_client):
        assert len(self.titles(helper_client, "part 1 of the scene")) == 2

    def test_finds_by_client_for_the_owner_alone(self, owner_client, helper_client):
        assert self.titles(owner_client, "marlow") == ["Render pair 77"]
        assert self.titles(helper_client, "marlow") == []

    def test_says_when_nothing_is_found_and_where_to_look_further(self, owner_client):
        found = page(owner_client, q="flywheel <b>")
        assert "No live job holds “flywheel &lt;b&gt;”" in found
        assert reverse("jobs:list") + "?q=flywheel" in found

    def test_htmx_gets_the_lines_alone(self, owner_client):
        found = owner_client.get(reverse("board:board"), {"q": "cutting"}, headers={"hx-request": "true"})
        assert "<html" not in found.content.decode()
        assert "Cutting room" in found.content.decode()


def cost(client, address):
    client.get(address)
    with CaptureQueriesContext(connection) as seen:
        answer = client.get(address)
    assert answer.status_code == 200
    return len(seen)


@pytest.mark.parametrize("query", ["", "?q=machine"])
def test_twelve_queries_at_most_for_three_jobs_and_for_sixty(owner_client, helper_client, query):
    scene, address = Scene(), reverse("board:board") + query
    for number in range(1, 4):
        scene.job(number)
    few = cost(owner_client, address)
    for number in range(4, 61):
        scene.job(number, stage=[Stage.BENCH, Stage.AGREED, Stage.QUOTED][number % 3])
    assert cost(owner_client, address) == few <= 12
    assert cost(helper_client, address) <= 10


@pytest.mark.parametrize(("name", "most"), [("board:board", 24), ("board:today", 27)])
def test_twenty_four_queries_at_most_when_the_forecast_is_made_anew(owner_client, owner, name, most):
    scene = Scene()
    for number in range(1, 31):
        scene.job(number)
    kept = cost(owner_client, reverse(name))
    audit.record(owner, "changed", "something")
    with CaptureQueriesContext(connection) as seen:
        owner_client.get(reverse(name))
    assert kept < len(seen) <= most
    assert cost(owner_client, reverse(name)) == kept


def test_a_heavy_promise_counts_from_today(owner_client):
    job = JobFactory(promise=timezone.localdate() + timedelta(days=400))
    TaskFactory(job=job, hours_likely=6)
    assert "days in hand" in page(owner_client)
