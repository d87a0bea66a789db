"""A spec version's facts as plain data, gathered in a constant number of queries."""

from django.db.models import Prefetch, prefetch_related_objects

from builds.checks.facts import BuildFacts, CableFacts, Known, LineFacts, LoopFacts, RunFacts, StepFacts
from builds.checks.lessons import SoakLesson
from parts.workshop.models import Workshop

from .loops import POINTS
from .models import Cable, Run, SpecLine, Step
from .runs import fitting_loss, measured


def with_everything(specs):
    """Fetch lines, parts with their facts, loops and steps of these spec versions at once; the list itself."""
    specs = list(specs)
    lines = SpecLine.objects.select_related("role", "part__successor", "fed_from", "feeds")
    lines = lines.prefetch_related("part__facts", "part__pin_outs__signed_by")
    steps = Step.objects.select_related("line__role", "cools", "fans", "screws")
    runs = Run.objects.select_related("from_step__line__role", "to_step__line__role")
    cables = Cable.objects.select_related("supply", "device").prefetch_related("tests__person")
    prefetch_related_objects(
        specs, "job", Prefetch("lines", lines), "loops", Prefetch("loops__steps", steps), Prefetch("loops__runs", runs),
        Prefetch("cables", cables),
    )  # fmt: skip
    return specs


def facts_of(spec, workshop=None):
    """The BuildFacts of a spec version."""
    with_everything([spec])
    given = spec.job.room_warmest_c
    assumed = given if given is not None else (workshop or Workshop.current()).room_warmest_c
    return BuildFacts(
        lines=tuple(line_facts(line.role, line.part, line) for line in spec.lines.all()),
        loops=tuple(loop_facts(loop) for loop in spec.loops.all()),
        room_c=assumed,
        room_given=given is not None,
        noise_wish_db=spec.job.noise_wish_db,
        cables=tuple(_cable(cable, spec.lines.all()) for cable in spec.cables.all()),
        prior=SoakLesson.objects.prior(),
    )


def line_facts(role, part, line=None):
    """A part in a role as plain data; line adds quantity and who supplies it. Uses the part's prefetched facts."""
    return LineFacts(
        role=role.name,
        kind=part.kind,
        part=part.name,
        quantity=float(line.quantity) if line else 1.0,
        facts={name: Known(fact.value, fact.origin) for name, fact in part.known.items()},
        client_supplied=bool(line and line.client_supplied),
        fed_from=line.fed_from.name if line and line.fed_from else "",
        feeds=line.feeds.name if line and line.feeds else "",
        outlets=line.outlets if line else 1,
        withdrawn=part.withdrawn,
        successor=part.successor.name if part.withdrawn and part.successor else "",
    )


def loop_facts(loop):
    """A loop as plain data; once all its runs are measured, its tube and fittings are reckoned from them."""
    steps = list(loop.steps.all())
    runs = measured(steps, loop.runs.all())
    roles = {step.pk: step.line.role.name for step in steps}
    return LoopFacts(
        name=loop.name,
        steps=tuple(_step(step) for step in steps),
        runs=tuple(_run(run) for run in runs),
        air_ml=loop.air_ml,
        breather=loop.breather,
        **{name: roles.get(getattr(loop, f"{name}_id"), "") for name in POINTS},
        tube_length_mm=loop.tube_mm,
        fitting_loss=fitting_loss(runs) if runs else loop.fitting_loss,
        case_heat_w=loop.case_heat_w,
        case_air_flow_m3h=loop.case_air_flow_m3h,
        altitude_m=loop.altitude_m,
    )


def _run(run):
    return RunFacts(
        start=run.from_step.line.role.name,
        end=run.to_step.line.role.name,
        length_mm=run.length_mm,
        bends=run.bends,
        angles=run.angles,
        bulkheads=run.bulkheads,
        from_port=run.from_port,
        to_port=run.to_port,
    )


def _cable(cable, lines):
    pin_out = cable.pin_out_in(lines)
    takes = cable.takes(pin_out)
    return CableFacts(
        name=cable.name,
        supply=cable.supply.name,
        supply_connector=cable.supply_connector,
        device=cable.device.name,
        device_connector=cable.device_connector,
        awg=cable.awg,
        length_mm=cable.length_mm,
        bend_mm=cable.bend_mm,
        sense_w=cable.sense_w,
        signed=bool(pin_out and pin_out.signed_at),
        wires=tuple((awg, colour, metres) for (awg, colour), metres in takes.wire_m.items()),
        terminals=takes.terminals,
        sleeve_m=takes.sleeve_m,
        shrink_m=takes.shrink_m,
    )


def _step(step):
    return StepFacts(
        role=step.line.role.name,
        speed=step.speed,
        cools=step.cools.name if step.cools else "",
        fans=step.fans.name if step.fans else "",
        fan_count=step.fan_count,
        layers=step.layers,
        grille_loss=step.grille_loss,
        draws_from=step.draws_from,
        blows_to=step.blows_to,
        place=step.place,
        ports_at=step.ports_at,
        screws=step.screws.name if step.screws else "",
        screw_through=step.screw_through,
        screw_extra_mm=step.screw_extra_mm,
        gasket_mm=step.gasket_mm,
        retapped=step.retapped,
    )
