"""What can be wrong with a loop, said by name."""

__all__ = ["LoopFault"]


class LoopFault(ValueError):
    """Something in a loop that no calculation can go on with.

    `field` is where it stands ("room_temperature", "front.fans.max_pressure"), `what` one sentence that says
    what to change, `others` further faults found in the same look.
    """

    def __init__(self, field, what, others=()):
        super().__init__(f"{field}: {what}")
        self.field, self.what, self.others = field, what, tuple(others)

    @classmethod
    def of(cls, faults):
        """One fault that carries all of `faults` (at least one)."""
        first, *rest = faults
        return cls(first.field, first.what, rest)

    def each(self):
        """This fault and every other found with it, in order."""
        return (self, *self.others)
