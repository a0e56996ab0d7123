"""Rebuild a printed hang problem in MuJoCo, let it settle, and compare. Imports nothing of slingwright.

The load is first let down without turning (slides only), as the contract says, then set free with a small
push, damped near critical, until it hangs; forces and stiffness are then read from the engine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import mujoco
import numpy as np

G = 9.80665
TENSION_SHARE = 1e-3  # of the weight
TILT_DEG = 0.05
NEAR = 2e-3  # stiffness over weight per plumb length below which a verdict on stability is not to be had


@dataclass
class Verdict:
    """What the engine found, and where it disagrees with the printed answer."""

    disagreements: list[str] = field(default_factory=list)
    tension_n: list[float] = field(default_factory=list)
    tilt_deg: float = 0.0
    residual: float = 0.0
    softest: float = 0.0
    near: bool = False


def _points_by_body(doc: dict) -> dict[str, list[tuple[int, int, list[float]]]]:
    places: dict[str, list] = {"world": [], **{b["name"]: [] for b in doc["bodies"]}}
    for p, path in enumerate(doc["paths"]):
        for q, point in enumerate(path["points"]):
            places[point["on"]].append((p, q, point["at_m"]))
    return places


def _spring(path: dict) -> tuple[float, float]:
    """Stiffness [N/m] and spring length: chords on bodies are part of the engine's tendon."""
    chords = 0.0
    for a, b in zip(path["points"], path["points"][1:], strict=False):
        if a["on"] == b["on"] != "world":
            chords += math.dist(a["at_m"], b["at_m"])
    lies = path.get("lies_m")
    rest = path["length_m"] + (chords - lies if lies is not None else 0.0)
    return path["rated_n"] / (path["strain_at_rated"] * path.get("elastic_m", path["length_m"])), rest


class Rig:
    """One problem in the engine, with free bodies or with bodies that only slide up and down."""

    def __init__(self, doc: dict, free: bool, damping: float = 1.0) -> None:
        self.doc, self.free = doc, free
        self.weight = sum(b["weight_n"] for b in doc["bodies"])
        places = _points_by_body(doc)
        self.scale = max(
            1e-3,
            max(
                math.dist(at, b["centre_of_gravity_m"])
                for b in doc["bodies"]
                for _, _, at in places[b["name"]]
            ),
        )
        springs = [_spring(p) for p in doc["paths"]]
        fastest = 0.0
        for b in doc["bodies"]:
            ends = sum(springs[p][0] for p, _, _ in places[b["name"]])
            fastest = max(fastest, ends / (b["weight_n"] / G))
        self.slow = math.sqrt(G / max(p["length_m"] for p in doc["paths"]))
        step = min(0.04, 0.7 / math.sqrt(2.0 * fastest))
        self.model = mujoco.MjModel.from_xml_string(self._xml(places, springs, step))
        self.data = mujoco.MjData(self.model)
        rate = damping * self.slow if free else math.sqrt(self.slow * math.sqrt(fastest))
        for i, b in enumerate(doc["bodies"]):
            m = b["weight_n"] / G
            if free:
                self.model.dof_damping[6 * i : 6 * i + 3] = 2.0 * m * rate
                self.model.dof_damping[6 * i + 3 : 6 * i + 6] = 2.0 * m * self.scale**2 * rate
            else:
                self.model.dof_damping[i] = 2.0 * m * rate

    def _xml(self, places, springs, step: float) -> str:
        def site(p, q, at):
            return f'<site name="s{p}_{q}" pos="{at[0]!r} {at[1]!r} {at[2]!r}"/>'

        out = [
            f'<mujoco><option timestep="{step!r}" gravity="0 0 -{G}" integrator="implicitfast">'
            '<flag contact="disable" constraint="disable"/></option><worldbody>',
            *(site(*s) for s in places["world"]),
        ]
        for b in self.doc["bodies"]:
            c, s = b["centre_of_gravity_m"], b.get("start_m", [0, 0, 0])
            pos = [a + o for a, o in zip(c, s, strict=True)]
            m = b["weight_n"] / G
            i = m * self.scale**2
            joint = "<freejoint/>" if self.free else '<joint type="slide" axis="0 0 1"/>'
            out.append(f'<body pos="{pos[0]!r} {pos[1]!r} {pos[2]!r}">{joint}')
            out.append(f'<inertial pos="0 0 0" mass="{m!r}" diaginertia="{i!r} {i!r} {i!r}"/>')
            out += [
                site(p, q, [float(a) - o for a, o in zip(at, c, strict=True)])
                for p, q, at in places[b["name"]]
            ]
            out.append("</body>")
        out.append("</worldbody><tendon>")
        for p, path in enumerate(self.doc["paths"]):
            stiff, rest = springs[p]
            out.append(f'<spatial stiffness="{stiff!r}" springlength="0 {rest!r}">')
            out += [f'<site site="s{p}_{q}"/>' for q in range(len(path["points"]))]
            out.append("</spatial>")
        out.append("</tendon></mujoco>")
        return "".join(out)

    def imbalance(self) -> np.ndarray:
        """Force on every degree of freedom at rest, in newtons (turns divided by the load's size)."""
        d = self.data
        d.qvel[:] = 0.0
        mujoco.mj_forward(self.model, d)
        f = d.qfrc_passive - d.qfrc_bias
        if self.free:
            f = f.copy()
            for i in range(len(self.doc["bodies"])):
                f[6 * i + 3 : 6 * i + 6] /= self.scale
        return f

    def settle(self, seconds: float, share: float) -> float:
        """Step until the imbalance is below a share of the weight, or the time is over; the imbalance."""
        chunk = max(1, int(0.5 / self.slow / self.model.opt.timestep))
        for _ in range(int(seconds * self.slow * 2) + 1):
            mujoco.mj_step(self.model, self.data, nstep=chunk)
            velocity = self.data.qvel.copy()
            left = float(np.abs(self.imbalance()).max()) / self.weight
            if left <= share:
                return left
            self.data.qvel[:] = velocity
        return left

    def shift(self, step: np.ndarray) -> None:
        """Move by a step of the unknowns (turns in metres, body axes)."""
        dq = step.copy()
        for i in range(len(self.doc["bodies"])):
            dq[6 * i + 3 : 6 * i + 6] /= self.scale
        mujoco.mj_integratePos(self.model, self.data.qpos, dq, 1.0)

    def stiffness(self) -> np.ndarray:
        """Symmetric part of the force's derivative, by central differences in the engine."""
        n, h = self.model.nv, 1e-6 * self.scale
        here, out = self.data.qpos.copy(), np.empty((self.model.nv, self.model.nv))
        for k in range(n):
            ends = []
            for s in (h, -h):
                self.data.qpos[:] = here
                step = np.zeros(n)
                step[k] = s
                self.shift(step)
                ends.append(self.imbalance().copy())
            out[:, k] = (ends[1] - ends[0]) / (2 * h)
        self.data.qpos[:] = here
        return out

    def polish(self) -> float:
        """A few Newton steps with the engine's own forces; the imbalance left over the weight."""
        for _ in range(6):
            f = self.imbalance().copy()
            left = float(np.abs(f).max()) / self.weight
            if left < 1e-9:
                break
            k = self.stiffness()
            # neutral turns (heading, a round load's roll) get no step
            step = np.linalg.pinv(k, rcond=1e-7) @ f
            if np.abs(step).max() > 0.05 * self.scale:
                break
            self.shift(step)
        return float(np.abs(self.imbalance()).max()) / self.weight

    def eigen(self) -> tuple[np.ndarray, np.ndarray]:
        """Stiffnesses in weights per load size, smallest first, and their ways."""
        k = self.stiffness()
        values, ways = np.linalg.eigh(0.5 * (k + k.T))
        return values * self.scale / self.weight, ways

    def tensions(self) -> np.ndarray:
        mujoco.mj_forward(self.model, self.data)
        return np.array(
            [k * max(0.0, x - _spring(p)[1]) for p, k, x in zip(
                self.doc["paths"], self.model.tendon_stiffness, self.data.ten_length, strict=True)]
        )  # fmt: skip

    def load(self) -> int:
        names = [b["name"] for b in self.doc["bodies"]]
        return names.index("load") if "load" in names else 0

    def tilt_deg(self) -> float:
        r = self.data.xmat[1 + self.load()].reshape(3, 3)
        return math.degrees(math.atan2(math.hypot(r[2, 0], r[2, 1]), r[2, 2]))


def _tilting(rig: Rig, way: np.ndarray) -> float:
    """Share of a way that turns a body about a level axis (the rest: heading, and moves)."""
    share = 0.0
    for i, v in enumerate(way.reshape(-1, 6)):
        turn = rig.data.xmat[1 + i].reshape(3, 3) @ v[3:]
        share += float(turn[0] ** 2 + turn[1] ** 2)
    return share


def let_down(doc: dict) -> np.ndarray:
    """Heights (above the start) at which the unturned bodies come to rest."""
    rig = Rig(doc, free=False)
    # nearer to the answer first: as low as the longest path lets them
    rig.settle(60.0, 1e-6)
    return rig.data.qpos.copy()


def hang(doc: dict, damping: float = 1.0) -> Rig:
    """Let down, set free with a small push, and wait until it hangs; more damping = no swing past a ridge."""
    drop = let_down(doc)
    rig = Rig(doc, free=True, damping=damping)
    for i, z in enumerate(drop):
        rig.data.qpos[7 * i + 2] += z
    push = np.zeros(rig.model.nv)
    for i in range(len(drop)):
        push[6 * i + 3 : 6 * i + 5] = (1.7e-3 * rig.scale, -1.1e-3 * rig.scale)
    rig.shift(push)
    for _ in range(40):
        rig.settle(40.0 * damping, 1e-4)
        if rig.polish() < 1e-7:
            break
    return rig


def place(rig: Rig, answer: dict) -> None:
    """Put the bodies where the answer says they hang."""
    for i, (b, pose) in enumerate(zip(rig.doc["bodies"], answer["bodies"], strict=True)):
        r = np.array(pose["rotation"])
        rig.data.qpos[7 * i : 7 * i + 3] = np.array(pose["origin_m"]) + r @ np.array(b["centre_of_gravity_m"])
        quat = np.empty(4)
        mujoco.mju_mat2Quat(quat, r.flatten())
        rig.data.qpos[7 * i + 3 : 7 * i + 7] = quat


def compare(doc: dict, answer: dict) -> Verdict:
    """Judge a printed answer to a printed problem.

    Every answer must be at rest in the engine at the very pose printed. `stable` must be where the freed load
    ends, and stiff against every turn; `capsizes` must give way.
    """
    verdict = Verdict()
    rig = Rig(doc, free=True)
    place(rig, answer)
    left = float(np.abs(rig.imbalance()).max()) / rig.weight
    if left > 1e-5:
        verdict.disagreements.append(f"not at rest at the printed pose: {left:.1e} of the weight")
    printed = np.array([p["tension_n"] for p in answer["paths"]])
    apart = np.abs(rig.tensions() - printed).max() / rig.weight
    if apart > TENSION_SHARE:
        verdict.disagreements.append(f"tensions at the printed pose differ by {apart:.1e} of the weight")
    values, ways = rig.eigen()
    tilts = [k for k in range(len(values)) if _tilting(rig, ways[:, k]) > 0.02]
    verdict.softest = float(min((values[k] for k in tilts), default=1.0))
    verdict.near = abs(verdict.softest) < NEAR
    neutral = "roll" in answer["null_modes"]
    if answer["status"] == "capsizes":
        # given way of any kind counts: a turned-over end is reported so, too
        if values[0] > NEAR and answer["tilt_deg"] < 90.0:
            verdict.disagreements.append(f"said to capsize, but stiff ({values[0]:.1e})")
        return verdict
    if verdict.softest < -NEAR and not neutral and answer["status"] == "stable":
        verdict.disagreements.append(f"said to be stable, but gives way ({verdict.softest:.1e})")
    # out of reach and unstable at once: the printed state is at rest, but no state to wait for
    lost = answer["status"] == "unreachable" and verdict.softest < NEAR
    if verdict.near or neutral or lost:
        return verdict
    freed = hang(doc)
    if abs(freed.tilt_deg() - answer["tilt_deg"]) > TILT_DEG:
        # critical damping lets it swing past a low ridge; the state wanted is the one it creeps to
        freed = hang(doc, 12.0)
        # left on a ridge: it would go on, given time
        verdict.near = float(freed.eigen()[0][0]) < -1e-5
    verdict.tension_n = freed.tensions().tolist()
    verdict.tilt_deg = freed.tilt_deg()
    verdict.residual = float(np.abs(freed.imbalance()).max()) / freed.weight
    if verdict.near or verdict.residual > 1e-5:
        verdict.near = True  # or it still creeps along a valley that is almost level
        return verdict
    apart = np.abs(freed.tensions() - printed).max() / rig.weight
    if apart > TENSION_SHARE:
        verdict.disagreements.append(f"tensions differ by {apart:.1e} of the weight")
    if abs(verdict.tilt_deg - answer["tilt_deg"]) > TILT_DEG:
        verdict.disagreements.append(f"tilt {answer['tilt_deg']:.3f}, engine {verdict.tilt_deg:.3f} degrees")
    return verdict
