"""Few cubics along a profile: its ends kept exactly, and near it in between."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings

from tests.geometry.closures import HOLLOW, Closure, closures
from transform.geometry.drafting import Drafter
from transform.geometry.follow import even_knots, follow
from transform.geometry.profile import Profile, Task
from transform.geometry.segments import curvature, direction
from transform.geometry.trace import points_at


def asked(closure: Closure) -> tuple[Profile, Task]:
    drafter = Drafter(closure.chains)
    reach = drafter.clipped(60.0, 60.0)
    return drafter.profile(reach, drafter.one_way(reach), 0.4)


@settings(max_examples=25, deadline=None)
@given(closures(list(HOLLOW), most_slant=0.3))
def test_ends_are_kept_and_more_cubics_come_nearer(closure: Closure) -> None:
    profile, task = asked(closure)
    assume(task.bend and profile.wrong < 1e-5 and profile.outside < 0.45)
    path = profile.path
    off = []
    for pieces in (3, 6):
        basis, controls = follow(profile, task, even_knots(profile, pieces))
        cubics = basis.cubics(controls)
        assert len(cubics) == pieces
        for end, cubic, t in ((task.start, cubics[0], 0.0), (task.end, cubics[-1], 1.0)):
            assert cubic.point(t) == end.point
            assert abs(direction(cubic, t) - end.tangent) < 1e-9
            if end.curvature is not None:
                assert curvature(cubic, t) == pytest.approx(end.curvature, abs=1e-10)
        t = np.linspace(0.0, 1.0, 30)
        points = np.concatenate([points_at(cubic, t) for cubic in cubics])
        off.append(float(np.abs(path.distances(points).away).max()))
    assert min(off) < 0.3
    assert off[1] < max(off[0], 0.1)


@settings(max_examples=25, deadline=None)
@given(closures(list(HOLLOW)))
def test_knots_ascend_and_lie_closer_where_the_curvature_changes(closure: Closure) -> None:
    profile, _ = asked(closure)
    for pieces in (3, 4, 6):
        knots = [0.0, *even_knots(profile, pieces), 1.0]
        assert len(knots) == pieces + 1
        assert all(one < other for one, other in pairwise(knots))
