"""Elimination of a symmetric nodal matrix, for one sample or thousands at once.

The order is found once from the graph. In each round many nodes are eliminated together: nodes of
least degree, no two of them joined, so that a chain of any length goes in a few dozen rounds and
a tree fills in almost nothing. Each round is then a handful of array operations, whatever the
number of nodes in it or of samples beside them. What is too closely meshed for that is left to
the end and solved dense.

Numbers stand in one work array, samples along the second axis if there are any: the diagonal, in
order of elimination, then round by round the off-diagonal entries and the right-hand side. The
right-hand side is eliminated along with the matrix, as an entry that joins each node to one more
node, never eliminated itself.

There is no pivoting. It is not needed for positive definite matrices, and whether the matrix was
one is seen from the pivots.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

__all__ = [
    "Pattern",
    "factor",
    "inverse_entries",
    "pattern",
    "positive_definite",
    "solution",
]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Bools = npt.NDArray[np.bool_]

# Nodes with more neighbours than this are left to the dense rest.
_MOST_NEIGHBOURS = 12
# Numbers to be added up from which a sparse matrix pays: a batch, not the network of one boat.
_LARGE = 100_000


@dataclass(frozen=True)
class _Sums:
    """Adds up what goes to each of some places, one value after the other.

    ``place`` says where each value goes, ascending; ``taken`` which value it is, and ``signs``
    what it is multiplied by, if they are not all the values in their order.
    """

    place: Ints
    places: int
    taken: Ints | None = None
    signs: Floats | None = None

    def __call__(self, values: Floats) -> Floats:
        if values.ndim > 1 and values.size > _LARGE:
            return np.asarray(self._matrix @ values)
        if self.taken is not None and self.signs is not None:
            values = (values[self.taken].T * self.signs).T
        if values.ndim == 1:
            return np.asarray(np.bincount(self.place, values, self.places), dtype=np.float64)
        samples = values.shape[1]
        place = (self.place[:, None] * samples + np.arange(samples)).ravel()
        total = np.bincount(place, values.ravel(), self.places * samples)
        return np.asarray(total.reshape(-1, samples), dtype=np.float64)

    @cached_property
    def _matrix(self) -> Any:
        """The same as a sparse matrix, faster for many samples; its library is slow to load."""
        from scipy.sparse import csr_array

        count = len(self.place)
        signs = np.ones(count) if self.signs is None else self.signs
        taken = np.arange(count) if self.taken is None else self.taken
        bounds = np.searchsorted(self.place, np.arange(self.places + 1))
        return csr_array((signs, taken, bounds), shape=(self.places, max(taken, default=-1) + 1))


@dataclass(frozen=True)
class _Round:
    """Nodes eliminated together, and what that changes."""

    nodes: slice
    entries: slice  # off-diagonal, by the node that owns them
    rights: slice  # right-hand sides, in order of the nodes
    owner: Ints  # of each entry and each right-hand side, counted within the round
    left: Ints  # products of multiplier (counted within the round) ...
    right: Ints  # ... and entry
    sums: _Sums  # adds the products that go to one place
    target: Ints  # the places they are taken from
    neighbour: Ints  # the other node of each entry
    by_owner: _Sums  # adds over the entries of each node


@dataclass(frozen=True)
class Pattern:
    """Order of elimination for one graph.

    ``size`` is the length of the work array, which ``assemble``
    fills out of conductances and currents of the elements, one above the other; ``node_at`` and
    ``entry_of`` say where the diagonal entry of a node, and the off-diagonal entry of an element,
    stand in it (-1 if the element ends at the reference).
    """

    number: int
    size: int
    assemble: _Sums
    node_at: Ints
    entry_of: Ints
    rounds: tuple[_Round, ...]
    core: slice
    core_rights: slice
    core_entries: tuple[Ints, Ints, Ints]  # place, row and column, counted within the core


@dataclass
class _Step:
    """A round as found, in numbers of nodes and of edges as given."""

    nodes: Ints
    owner: Ints
    neighbour: Ints
    edge: Ints
    first: Ints
    second: Ints
    joined: Ints  # edge between the far ends of the pair, -1 where they are one node


def _pairs(counts: Ints) -> tuple[Ints, Ints]:
    """Return all pairs, each with itself too, within consecutive groups of the given sizes."""
    starts = np.cumsum(counts) - counts
    first, second = [np.empty(0, np.intp)], [np.empty(0, np.intp)]
    for size in np.unique(counts[counts > 0]):
        begin = starts[counts == size][:, None]
        one, other = np.triu_indices(size)
        first.append((begin + one).ravel())
        second.append((begin + other).ravel())
    return np.concatenate(first), np.concatenate(second)


def _chosen(degree: Ints, alive: Bools, start: Ints, end: Ints, tie: Ints) -> Bools:
    """Choose nodes of low degree, no two of them joined."""
    number = len(degree)
    low = alive & (degree <= max(2, int(degree[alive].min())))
    none = np.iinfo(np.intp).max
    rank = np.where(low, degree * number + tie, none)
    best = np.full(number, none)
    np.minimum.at(best, start, rank[end])
    np.minimum.at(best, end, rank[start])
    return low & (rank < best)


def _steps(number: int, start: Ints, end: Ints) -> Iterator[_Step]:
    """Eliminate on the graph alone; the last step holds what is left to be solved dense."""
    tie = np.random.default_rng(0).permutation(number)  # in order, a chain would go end by end
    alive = np.ones(number, dtype=np.bool_)
    edge = np.arange(len(start))
    key = start * number + end  # kept in ascending order
    total = len(edge)
    nobody = np.empty(0, np.intp)
    while True:
        start, end = key // number, key % number
        degree = np.bincount(start, minlength=number) + np.bincount(end, minlength=number)
        if not alive.any() or degree[alive].min() > _MOST_NEIGHBOURS:
            rest = np.flatnonzero(alive)
            yield _Step(rest, start, end, edge, nobody, nobody, nobody)
            return
        chosen = _chosen(degree, alive, start, end, tie)
        at_start = chosen[start]
        touched = at_start | chosen[end]
        owner = np.where(at_start, start, end)[touched]
        neighbour = np.where(at_start, end, start)[touched]
        order = np.argsort(owner, kind="stable")
        owner, neighbour = owner[order], neighbour[order]
        own_edge = edge[touched][order]
        nodes = np.flatnonzero(chosen)
        owner = np.searchsorted(nodes, owner)
        first, second = _pairs(np.bincount(owner, minlength=len(nodes)))
        one, other = neighbour[first], neighbour[second]
        apart = one != other
        pair = (np.minimum(one, other) * number + np.maximum(one, other))[apart]
        key, edge = key[~touched], edge[~touched]
        fill = np.setdiff1d(pair, key)
        key = np.concatenate([key, fill])
        edge = np.concatenate([edge, total + np.arange(len(fill))])
        total += len(fill)
        order = np.argsort(key)
        key, edge = key[order], edge[order]
        joined = np.full(len(first), -1, dtype=np.intp)
        joined[apart] = edge[np.searchsorted(key, pair)]
        yield _Step(nodes, owner, neighbour, own_edge, first, second, joined)
        alive[nodes] = False


def pattern(number: int, *, start: Ints, end: Ints) -> Pattern:
    """Find the order for elements between nodes 0 to ``number`` - 1; -1 is the reference."""
    inner = np.flatnonzero((start >= 0) & (end >= 0))
    low = np.minimum(start[inner], end[inner])
    high = np.maximum(start[inner], end[inner])
    key, edge_of = np.unique(low * number + high, return_inverse=True)
    steps = list(_steps(number, key // number, key % number))

    node_at = np.empty(number, dtype=np.intp)
    right_at = np.empty(number, dtype=np.intp)
    edge_at = np.empty(sum(len(step.edge) for step in steps), dtype=np.intp)
    node, place = 0, number
    places = []
    for step in steps:
        nodes = slice(node, node + len(step.nodes))
        entries = slice(place, place + len(step.edge))
        rights = slice(entries.stop, entries.stop + len(step.nodes))
        node_at[step.nodes] = np.arange(nodes.start, nodes.stop)
        edge_at[step.edge] = np.arange(entries.start, entries.stop)
        right_at[step.nodes] = np.arange(rights.start, rights.stop)
        places.append((nodes, entries, rights))
        node, place = nodes.stop, rights.stop

    rounds = tuple(
        _numbered(step, where, node_at, edge_at, right_at)
        for step, where in zip(steps[:-1], places[:-1], strict=True)
    )
    core, core_entries, core_rights = places[-1]
    rest = steps[-1]
    entry_of = np.full(len(start), -1, dtype=np.intp)
    entry_of[inner] = edge_at[edge_of]
    return Pattern(
        number=number,
        size=place,
        assemble=_assembling(start, end, entry_of, node_at, right_at, place),
        node_at=node_at,
        entry_of=entry_of,
        rounds=rounds,
        core=core,
        core_rights=core_rights,
        core_entries=(
            np.arange(core_entries.start, core_entries.stop),
            node_at[rest.owner] - core.start,
            node_at[rest.neighbour] - core.start,
        ),
    )


def _numbered(
    step: _Step,
    where: tuple[slice, slice, slice],
    node_at: Ints,
    edge_at: Ints,
    right_at: Ints,
) -> _Round:
    nodes, entries, rights = where
    count = len(step.edge)
    same = step.joined < 0
    left = np.concatenate([step.first, np.arange(count)])
    right = np.concatenate([step.second + entries.start, step.owner + rights.start])
    one = node_at[step.neighbour[step.first]]
    target = np.concatenate([np.where(same, one, edge_at[step.joined]), right_at[step.neighbour]])
    order = np.argsort(target, kind="stable")
    target, belongs = np.unique(target[order], return_inverse=True)
    return _Round(
        nodes=nodes,
        entries=entries,
        rights=rights,
        owner=np.concatenate([step.owner, np.arange(len(step.nodes))]),
        left=left[order],
        right=right[order],
        sums=_Sums(belongs, len(target)),
        target=target,
        neighbour=node_at[step.neighbour],
        by_owner=_Sums(step.owner, len(step.nodes)),
    )


def _assembling(
    start: Ints, end: Ints, entry_of: Ints, node_at: Ints, right_at: Ints, size: int
) -> _Sums:
    number = len(start)
    rows, columns, signs = [], [], []
    for ends, sign in ((start, -1.0), (end, 1.0)):
        some = np.flatnonzero(ends >= 0)
        rows += [node_at[ends[some]], right_at[ends[some]]]
        columns += [some, number + some]
        signs += [np.ones(len(some)), np.full(len(some), sign)]
    joined = np.flatnonzero(entry_of >= 0)
    rows.append(entry_of[joined])
    columns.append(joined)
    signs.append(np.full(len(joined), -1.0))
    row, column, signed = (np.concatenate(parts) for parts in (rows, columns, signs))
    order = np.lexsort((column, row))
    return _Sums(row[order], size, column[order], signed[order])


def factor(pattern: Pattern, work: Floats) -> None:
    """Eliminate in place: pivots, multipliers and the right-hand side carried along."""
    for part in pattern.rounds:
        rest = slice(part.entries.start, part.rights.stop)
        multiplier = work[rest] * (1.0 / work[part.nodes])[part.owner]
        if len(part.target):
            work[part.target] -= part.sums(multiplier[part.left] * work[part.right])
        work[rest] = multiplier


def positive_definite(pattern: Pattern, work: Floats) -> Bools:
    """Say, after :func:`solution`, for which samples the matrix was positive definite."""
    return np.asarray((work[: pattern.number] > 0).all(axis=0))


def solution(pattern: Pattern, work: Floats) -> Floats:
    """Return the unknowns in order of elimination, and a zero for the reference after them."""
    found = np.zeros((pattern.number + 1, *work.shape[1:]))
    if pattern.core.stop > pattern.core.start:
        found[pattern.core] = _core_solution(pattern, work)
    for part in reversed(pattern.rounds):
        known = work[part.entries] * found[part.neighbour]
        found[part.nodes] = work[part.rights] - part.by_owner(known)
    return found


def _core(pattern: Pattern, work: Floats, sample: int) -> Floats:
    place, row, column = pattern.core_entries
    matrix = np.diag(work[pattern.core, sample])
    matrix[row, column] = matrix[column, row] = work[place, sample]
    return matrix


def _core_solution(pattern: Pattern, work: Floats) -> Floats:
    """Solve the dense rest; where it is not positive definite the pivots are made to say so."""
    from scipy.linalg.lapack import dposv

    columns = work.reshape(len(work), -1)
    found = np.zeros((pattern.core.stop - pattern.core.start, columns.shape[1]))
    for sample in range(columns.shape[1]):
        matrix = _core(pattern, columns, sample)
        _, values, info = dposv(matrix, columns[pattern.core_rights, sample])
        if info == 0:
            found[:, sample] = values
        else:
            columns[pattern.core, sample] = -1.0
    return found.reshape(-1, *work.shape[1:])


def inverse_entries(pattern: Pattern, work: Floats) -> Floats:
    """Return, in the places of the work array, the entries of the inverse (K. Takahashi's rule).

    Only those on the diagonal and where the eliminated matrix has entries; ``work`` is factored.
    """
    inverse = np.zeros_like(work)
    _core_inverse(pattern, work, inverse)
    for part in reversed(pattern.rounds):
        count = part.entries.stop - part.entries.start
        pairs = part.right < part.entries.stop
        first = part.left[pairs]
        second = part.right[pairs] - part.entries.start
        joined = part.target[part.sums.place][pairs]
        multiplier = work[part.entries]
        entry = np.zeros((count, *work.shape[1:]))
        np.subtract.at(entry, first, multiplier[second] * inverse[joined])
        apart = first != second
        np.subtract.at(entry, second[apart], (multiplier[first] * inverse[joined])[apart])
        inverse[part.entries] = entry
        inverse[part.nodes] = 1.0 / work[part.nodes] - part.by_owner(multiplier * entry)
    return inverse


def _core_inverse(pattern: Pattern, work: Floats, inverse: Floats) -> None:
    place, row, column = pattern.core_entries
    columns, found = work.reshape(len(work), -1), inverse.reshape(len(work), -1)
    for sample in range(columns.shape[1]):
        dense = np.linalg.inv(_core(pattern, columns, sample))
        found[pattern.core, sample] = np.diag(dense)
        found[place, sample] = dense[row, column]
