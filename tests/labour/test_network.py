from itertools import pairwise

import pytest

from builds.labour import network


def test_every_task_comes_after_all_it_follows():
    # The precedence example with two starts that every textbook on the critical path draws (from memory).
    follows = {"d": ["b", "c"], "c": ["a"], "b": ["a"], "a": [], "e": ["d"]}
    order = network.in_order(follows)
    assert sorted(order) == list("abcde")
    assert all(order.index(before) < order.index(task) for task, befores in follows.items() for before in befores)


def test_where_the_network_leaves_a_choice_the_plans_order_stays():
    assert network.in_order({"z": [], "a": [], "m": []}) == ["z", "a", "m"]


def test_a_circle_is_named_from_first_to_last():
    with pytest.raises(network.Circle) as caught:
        network.in_order({"plumb": ["fill"], "fill": ["air test"], "air test": ["plumb"], "pack": ["fill"]})
    path = caught.value.path
    assert path[0] == path[-1]
    assert set(path) == {"plumb", "fill", "air test"}
    follows = {"plumb": "fill", "fill": "air test", "air test": "plumb"}
    assert all(follows[after] == before for before, after in pairwise(path))


def test_a_task_left_out_hands_its_predecessors_on():
    follows = {"tap": [], "rinse": ["tap"], "mount": ["rinse", "cut"], "cut": [], "plumb": ["mount"]}
    assert network.bridged(follows, {"tap", "cut", "plumb"}) == {"tap": [], "cut": [], "plumb": ["tap", "cut"]}
