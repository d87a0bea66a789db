"""What a state change raises when it will not happen; pages show it, nothing is half done."""


class Refused(Exception):
    """A change that the rules do not allow.

    message: one plain sentence that says what to do instead.
    field: name of the form field it concerns, if any.
    """

    def __init__(self, message, field=None):
        super().__init__(message)
        self.message = message
        self.field = field


class AlreadyDone(Exception):
    """The same form was sent before; its effect stands once."""


class Stale(Exception):
    """The row has changed since the form was opened."""
