"""The workshop itself: its people, money, tax, audit trail, and the manners of every form."""
