"""Invented builds in the trade's words, as plain facts."""

from builds.checks.facts import BuildFacts, Known, LineFacts, LoopFacts, StepFacts
from builds.checks.findings import CAUTION, NOTE, STOP


def part(kind, name=None, role=None, quantity=1.0, **facts):
    """A line with declared facts."""
    known = {key: Known(value) for key, value in facts.items()}
    return LineFacts(role=role or kind, kind=kind, part=name or f"the {kind}", quantity=quantity, facts=known)


def build(*lines, steps=(), **more):
    """A build of lines; steps, if any, make its one loop."""
    loops = (LoopFacts(steps=tuple(steps), **more),) if steps else ()
    return BuildFacts(lines=tuple(lines), loops=loops)


def step(role, **how):
    return StepFacts(role=role, **how)


def said(findings, severity=None):
    """The sentences of findings, of one severity if asked."""
    return [f.sentence for f in findings if severity in (None, f.severity)]


def stops(findings):
    return said(findings, STOP)


def cautions(findings):
    return said(findings, CAUTION)


def notes(findings):
    return said(findings, NOTE)


def missing(findings):
    """{part: facts that are said to be missing}"""
    return {f.parts[0]: dict(f.numbers)["missing"] for f in findings if "missing" in dict(f.numbers)}
