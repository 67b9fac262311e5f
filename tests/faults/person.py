"""What a person does where a program stops: everything that was asked since the last stop, in its order."""

from __future__ import annotations

import math

from tests.faults.asks import Ask, disputed
from tests.faults.motions import Alarm, Beyond, Dial, Hands, Place, Reading, Step

__all__ = ["Person", "fixed"]

#: Settings of the swivel base nearer than this are one, radians.
_SAME_ANGLE = 1e-7


class Person:
    """A person at a mill, and that of the mill which a person has a hand in."""

    def __init__(self, hands: Hands) -> None:
        self.hands = hands
        self.reading = Reading()
        self.speed = math.nan
        self.direction = 0
        self.place: list[float | None] = [None, None, None]
        self.cutter = 0
        self.waiting: list[Ask] = []  # what a person has been asked and no stop has come for yet
        self.last_ask: Ask | None = None
        self.moved = False  # by the program
        self.told_height = 0.0  # the last that was asked for

    @property
    def rpm(self) -> float:
        return self.direction * self.speed if self.direction else 0.0

    def lose(self, number: int) -> None:
        self.place = [None, None, None]
        self.waiting.append(Ask(number, "lose"))
        self.last_ask = None

    def wait(self, ask: Ask | Dial) -> None:
        if isinstance(ask, Dial):
            self.reading.dials.append(ask)
            self.last_ask = None
            return
        if isinstance(ask.what, int) and ask.what not in self.hands.axes:
            raise Beyond("an axis that is driven") if ask.what == 2 else Alarm("driven", ask.line, "driven")
        if self.direction and ask.what != "spindle" and not self.hands.spindle:
            self.reading.hasty.append(ask.line)
        self.waiting.append(ask)
        self.last_ask = ask

    def go_on(self) -> None:
        """Nobody does any more what was asked without a stop."""
        self.reading.undone += [ask.line for ask in self.waiting if ask.what != "lose"]
        self.waiting = []

    def person(self) -> None:
        """A person does what was asked since the last stop, in its order."""
        self.reading.disputed += disputed(self.waiting)
        for line, what, values in self.waiting:
            if what == "lose":
                self.place = [None, None, None]
            elif what == "spindle":
                self.speed = abs(values[0]) or self.speed
                self.spin((values[0] > 0.0) - (values[0] < 0.0), line)
                if self.direction:
                    self.reading.speeds.append((self.rpm, self.cutter))
            else:
                if self.direction:
                    self.reading.hands.append(line)
                self.turn(line, values[0]) if what == "swivel" else self.set(line, int(what), values)
        self.waiting = []

    def spin(self, direction: int, line: int) -> None:
        if direction and not self.direction:
            self.reading.waits.append((len(self.reading.steps), line))
        self.direction = direction

    def turn(self, line: int, angle: float) -> None:
        stands = self.reading.swivel
        if 2 in self.hands.axes and not self.moved and not self.told_height > 0.0:
            self.reading.turned_low.append(line)
        if self.moved and (stands is None or abs(angle - stands) > _SAME_ANGLE):
            self.reading.turned_late.append(line)
        else:
            self.reading.swivel = angle

    def set(self, line: int, axis: int, places: tuple[float, ...]) -> None:
        self.reading.settings.append((line, axis, places[-1]))
        if axis == 2:
            self.told_height = places[-1]
        for to in places:
            start = list(self.place)
            self.place[axis] = to
            if start != self.place:
                step = Step(
                    line, "rapid", fixed(start), fixed(self.place), None, math.nan, self.rpm, self.cutter
                )
                self.reading.steps.append(step)


def fixed(place: list[float | None]) -> Place:
    return place[0], place[1], place[2]
