"""The compromise: identities of costs, front, regret and choice; stop and progress lose nothing."""

import os
from dataclasses import fields, replace
from itertools import product
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from dampinglab.errors import OutOfRange
from dampinglab.physics.corner import simulate
from dampinglab.physics.damper import RatedDamper
from dampinglab.physics.measures import Scores, scores
from dampinglab.physics.road import Road
from dampinglab.workshop import compromise, demo, search, tried
from dampinglab.workshop.front import non_dominated
from dampinglab.workshop.mix import AS_WEIGHED, MIXES, WAYS, Condition, conditions

NAMES = [field.name for field in fields(Scores)]
SHORT = {name: replace(WAYS[name], duration=1.5) for name in ("gravel", "long waves")}
AXLE = demo.vehicle().axles["front"]
GOAL_KEYS = [goal.key for goal in compromise.GOALS]


def short(load=None):
    corner = demo.vehicle().corner("front", load)
    return tuple(Condition(n, corner, way, 0.5) for n, way in SHORT.items())


def asked(weights=compromise.PRIORITIES["balanced"], where=None, damper=None, axle=AXLE):
    damper = damper or demo.hydraulic("front")
    return compromise.question(damper, where or short(), weights, axle)


@pytest.fixture(scope="module")
def known():
    """Every other setting of a small space, and the starts."""
    some = product((0, 4, 9, 14), (0, 5, 10), (6, 12, 18))
    settings = [*some, *(start.setting for start in asked().starts)]
    return tried.try_settings(demo.hydraulic("front"), short(), settings, chunk=16)


# --- the front


@given(arrays(float, st.tuples(st.integers(1, 40), st.integers(1, 4)), elements=st.integers(0, 6)))
def test_the_front_is_what_nothing_beats_and_beats_all_the_rest(values):
    front = non_dominated(values)
    better = np.all(values[:, None] <= values, axis=2) & np.any(values[:, None] < values, axis=2)
    assert np.array_equal(front, ~better.any(axis=0))
    assert better[front][:, ~front].any(axis=0).all()


def test_the_best_of_each_score_and_of_any_weights_is_on_the_front(known):
    values = np.stack([known.scores.weighted[0], known.scores.body_motion[0]], axis=1)
    front = non_dominated(values)
    for weights in ([1, 1e-6], [1e-6, 1], [1, 30]):
        assert front[np.argmin(values @ weights)]


def test_a_front_of_what_is_no_number_is_refused():
    for values in ([1.0, 2.0], [[1.0, np.nan]]):
        with pytest.raises(OutOfRange, match="row of numbers"):
            non_dominated(values)


# --- costs, regret, choice


@pytest.mark.parametrize("key", GOAL_KEYS)
def test_weights_all_on_one_score_give_its_minimum(known, key):
    only = asked({key: 3.0}, where=short()[:1] * 1)
    one = tried.Tried(
        known.conditions[:1],
        known.settings,
        Scores(**{name: getattr(known.scores, name)[:1] for name in NAMES}),
    )
    chosen = compromise.choose(only, one).setting
    values = getattr(one.scores, key)[0]
    assert values[one.place(chosen)] == values.min()


def test_the_reference_costs_nothing_and_costs_are_shares_of_it(known):
    one = asked({"weighted": 1.0})
    each = compromise.costs(one, known)
    at = known.place(one.reference)
    assert np.all(each[:, at] == 0)
    wk = known.scores.weighted
    assert each == pytest.approx(wk / wk[:, [at]] - 1)


def test_a_score_of_next_to_nothing_is_measured_by_its_floor(known):
    one = asked({"stop_energy": 1.0})
    energy = known.scores.stop_energy.copy()
    energy[:, known.place(one.reference)], energy[:, 0] = 0.0, 50.0
    other = replace(known, scores=replace(known.scores, stop_energy=energy))
    assert compromise.costs(one, other)[:, 0] == pytest.approx(0.5)


def test_priorities_are_shares_of_scores():
    for name, weights in compromise.PRIORITIES.items():
        assert sum(weights.values()) == pytest.approx(1), name
        assert set(weights) == set(GOAL_KEYS) <= set(NAMES)
    first = {"comfort": "weighted", "grip": "tyre_variation", "body held": "body_motion"}
    for word, key in first.items():
        weights = compromise.PRIORITIES[f"{word} first"]
        assert max(weights, key=weights.get) == key


def test_regret_is_zero_at_the_best_and_the_worst_loss_elsewhere(known):
    each = compromise.costs(asked(), known)
    one = compromise.regrets(each[:1])
    assert one.min() == 0
    assert one[np.argmin(each[0])] == 0
    both = compromise.regrets(each)
    assert np.all(both >= one)
    assert both[3] == pytest.approx(max(each[i, 3] - each[i].min() for i in (0, 1)))


def test_the_choice_is_the_cheapest_and_starts_lose_to_it(known):
    question = asked()
    total = question.shares @ compromise.costs(question, known)
    choice = compromise.choose(question, known)
    assert total[known.place(choice.setting)] == choice.cost == total.min()
    assert choice.cost <= 0
    assert choice.losses.keys() == {"as found", "middle of force"}
    assert min(choice.losses.values()) >= 0
    assert choice.losses["middle of force"] == pytest.approx(-choice.cost)
    each = compromise.costs(question, known)[:, known.place(choice.setting)]
    best = compromise.costs(question, known).min(axis=1)
    worst = known.conditions[int(np.argmax(each - best))].name
    assert (choice.regret, choice.worst) == (pytest.approx(max(each - best)), worst)


def test_the_weights_decide_the_choice(known):
    found = {
        name: compromise.choose(asked(weights), known).setting
        for name, weights in compromise.PRIORITIES.items()
    }
    assert len(set(found.values())) >= 3
    for name, weights in compromise.PRIORITIES.items():
        total = 0.5 * compromise.costs(asked(weights), known).sum(axis=0)
        assert total[known.place(found[name])] == total.min()
    place = known.place
    comfort, held = (place(found[f"{w} first"]) for w in ("comfort", "body held"))
    mean = {key: compromise.mean_scores(asked(), known, key) for key in NAMES}
    assert mean["weighted"][comfort] < mean["weighted"][held]
    assert mean["body_motion"][comfort] > mean["body_motion"][held]


def test_what_was_not_tried_is_said(known):
    with pytest.raises(OutOfRange, match="was not tried"):
        known.place((1, 1, 1))


@pytest.mark.parametrize("weights", [{"weighted": 0.0}, {"weighted": 2.0, "body_motion": -1.0}])
def test_weights_must_be_weights(weights):
    with pytest.raises(OutOfRange, match="weight above zero"):
        asked(weights)


# --- where to start, and the way from there


def test_starts_are_those_of_the_sheet_and_the_middle_comes_last():
    found = compromise.starts(demo.hydraulic("front"), AXLE)
    assert [start.name for start in found] == ["as found", "middle of force"]
    assert found[0].setting == tuple(AXLE.as_found.values())
    utility = demo.vehicle("utility").axles["rear"]
    two = compromise.starts(demo.damper("rear", "utility_two_adjuster"), utility)
    assert [start.name for start in two] == ["maker's", "middle of force"]


def test_valves_have_their_middle_near_that_of_their_own_table():
    for axle in ("front", "rear"):
        sheet = demo.vehicle().axles[axle]
        ends = [compromise.starts(d(axle), sheet)[-1] for d in (demo.hydraulic, demo.damper)]
        assert np.abs(np.subtract(*(end.setting for end in ends))).max() <= 1


def test_a_damper_without_clicks_is_refused_in_words():
    for damper in (RatedDamper(1000.0, 2000.0, 0.3), SimpleNamespace(adjusters=())):
        for call in (tried.click_space, tried.coarse, tried.lines_of):
            with pytest.raises(OutOfRange, match="no measured clicks"):
                call(damper)


@pytest.fixture(scope="module")
def approached():
    return [*search.approach(asked())][-1].tried


def test_coarse_to_fine_ends_where_no_neighbour_is_better(approached):
    question = asked()
    choice = compromise.choose(question, approached)
    near = tried.neighbours(question.damper, choice.setting)
    assert set(near) <= set(approached.settings)
    coarse = compromise.choose(
        question,
        tried.try_settings(question.damper, question.conditions, search.first_look(question)),
    )
    assert choice.cost < coarse.cost
    assert len(approached.settings) < 300


@pytest.mark.skipif(os.environ.get("DAMPINGLAB_LONG") != "1", reason="drives every setting")
@pytest.mark.parametrize(
    ("axle", "load", "mix"),
    [("front", AS_WEIGHED, "a bit of everything"), ("rear", "touring", "rough tracks")],
)
def test_coarse_to_fine_misses_nothing_that_every_setting_finds(axle, load, mix):
    vehicle, damper = demo.vehicle(), demo.hydraulic(axle)
    where = conditions(vehicle, axle, [load], MIXES[mix])
    space = tried.click_space(damper)
    everything = tried.try_settings(damper, where, space, processes=2, chunk=200)
    assert set(everything.settings) == set(space)
    for name, weights in compromise.PRIORITIES.items():
        question = asked(weights, where, damper, vehicle.axles[axle])
        found = compromise.choose(question, [*search.approach(question)][-1].tried)
        best = compromise.choose(question, everything)
        assert found.cost == pytest.approx(best.cost, abs=0.003), name


def test_one_adjuster_at_a_time_leads_from_each_start_to_the_choice(approached):
    question = asked()
    choice = compromise.choose(question, approached)
    total = question.shares @ compromise.costs(question, approached)
    for start in question.starts:
        now = dict(zip([a.name for a in question.damper.adjusters], start.setting, strict=True))
        for move in choice.ways[start.name]:
            assert now[move.adjuster] == move.old != move.new
            now[move.adjuster] = move.new
            here = total[approached.place(tuple(now.values()))]
            assert move.cost == pytest.approx(here - total.min())
        assert tuple(now.values()) == choice.setting
        names = [move.adjuster for move in choice.ways[start.name]]
        assert len(names) == len(set(names))
        assert choice.ways[start.name][-1].cost == 0


def test_the_first_move_is_the_one_that_helps_most():
    """Costs by hand: the last adjuster helps most, the first not at all."""
    middle = SimpleNamespace(adjusters=[SimpleNamespace(name=n) for n in "abc"])
    hand = compromise.Question(
        middle, short()[:1], {"weighted": 1.0}, (compromise.Start("m", (0, 0, 0)),)
    )
    settings = tuple(product((0, 1), repeat=3))
    wk = np.array([[10.0 - 2 * b - 5 * c - 0.1 * a * b * c for a, b, c in settings]])
    made = tried.Tried(hand.conditions, settings, Scores(**dict.fromkeys(NAMES, wk)))
    choice = compromise.choose(hand, made)
    assert [move.adjuster for move in choice.ways["m"]] == ["c", "b", "a"]
    assert [move.cost for move in choice.ways["m"]] == pytest.approx([0.105, 0.005, 0])


def test_no_way_is_told_over_settings_that_were_not_tried(known):
    choice = compromise.choose(asked(), known)
    some = [choice.setting, *(start.setting for start in asked().starts)]
    few = tried.try_settings(demo.hydraulic("front"), short(), some)
    assert any(way == () for way in compromise.choose(asked(), few).ways.values())


# --- chance


def test_a_road_without_chance_has_no_noise_and_no_equals(approached):
    waves = short()[1:]
    question = asked(where=waves)
    some = tried.try_settings(question.damper, waves, search.first_look(question))
    chance = search.spread(question, some)
    assert chance.totals.shape[0] == 0
    assert compromise.choose(question, some, chance).equals == ()


def test_equals_are_within_the_noise_of_other_stretches(approached):
    question = asked()
    chance = search.spread(question, approached)
    assert chance.totals.shape == (4, len(chance.settings))
    choice = compromise.choose(question, approached, chance)
    mean, deviation = chance.against(choice.setting)
    at = {s: i for i, s in enumerate(chance.settings)}
    assert mean[at[choice.setting]] == deviation[at[choice.setting]] == 0
    for setting, i in at.items():
        like = mean[i] <= max(2 * deviation[i], 0.003) and setting != choice.setting
        assert (setting in choice.equals) == like
    assert choice.setting not in choice.equals
    assert choice.noise > 0
    start = np.array(question.starts[0].setting)
    turned = [np.abs(start - s).sum() for s in choice.equals]
    assert turned == sorted(turned)


def test_a_stretch_changes_only_roads_with_chance_in_them(known):
    question = asked({"weighted": 1.0})
    chance = search.spread(question, known)
    at = known.place(chance.settings[0])
    fixed = 0.5 * compromise.costs(question, known)[1, at]
    other = replace(short()[0], seed=short()[0].seed + 1000)
    wk = [
        scores(simulate(other.corner, question.damper, s, other.road)).weighted
        for s in (chance.settings[0], question.reference)
    ]
    assert chance.totals[0, 0] == pytest.approx(fixed + 0.5 * (wk[0] / wk[1] - 1), abs=1e-9)


# --- mixes


def test_every_mix_drives_and_its_shares_are_whole():
    for mix in MIXES.values():
        found = conditions(demo.vehicle(), "rear", (AS_WEIGHED, "touring"), mix)
        assert sum(condition.share for condition in found) == pytest.approx(1)
        assert len(found) == 2 * len(mix)
    assert all(isinstance(way.road(1), Road) for way in WAYS.values())


def test_chance_is_where_another_seed_makes_another_road():
    for way in WAYS.values():
        same = np.array_equal(way.road(1).height, way.road(2).height)
        assert same is not way.random


def test_a_mix_of_nothing_or_of_an_unknown_road_is_said():
    for mix, loads, words in (
        ({"gravel": 0.0}, [AS_WEIGHED], "at least one road"),
        ({"gravel": 1.0}, [], "at least one road"),
        ({"moon": 1.0}, [AS_WEIGHED], "no road 'moon'"),
        ({"gravel": 1.0}, ["piano"], "no load case 'piano'"),
    ):
        with pytest.raises(OutOfRange, match=words):
            conditions(demo.vehicle(), "front", loads, mix)
