"""What acts on a machine share: what cannot be reached, what ends the work, a number that a hand has set."""

from __future__ import annotations

from collections.abc import Mapping

from glasscan.workshop.machine import BadChoiceError, CannotError, Machine

Args = Mapping[str, str]


def stopped(m: Machine) -> None:
    """Refuse what nobody does on a running machine."""
    if m.running:
        raise CannotError("It is running. Stop it first.")


def reachable(m: Machine, joint: str) -> None:
    """Refuse what lies behind a closed joint."""
    if m.joints[joint].closed:
        raise CannotError(f"The {m.kind_of(joint).title} is closed: nothing inside can be reached.")


def touch(m: Machine, joint: str) -> None:
    """Refuse a joint that the machine does not have."""
    if joint not in m.joints:
        raise CannotError(f"This machine has no {joint}.")


def stop_work(m: Machine, text: str) -> Machine:
    """End the work: somebody would be hurt."""
    return m.told(text, "person").but(ended=text)


def number(text: str | None, instead: float, key: str, low: float, high: float) -> float:
    """A number a hand has set, or what the manual says.

    Raises:
        BadChoiceError: no number, or one no hand can set.
    """
    if text is None:
        return instead
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not low <= value <= high:
        raise BadChoiceError(f"{key}: expected a number from {low:g} to {high:g}, found '{text[:40]}'")
    return value
