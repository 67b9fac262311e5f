"""A property that is worked out when it is first asked for, and kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, TypeVar, overload

__all__ = ["kept_property"]

Value = TypeVar("Value")


class kept_property(Generic[Value]):
    """As ``functools.cached_property``, without the lock that it takes before Python 3.12: a dry run asks thousands.

    What is kept stands in the instance's own dictionary, where it is found before this is asked again.
    """

    def __init__(self, find: Callable[[Any], Value]) -> None:
        self._find = find
        self.__doc__ = find.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = name

    @overload
    def __get__(self, instance: None, owner: type) -> kept_property[Value]: ...

    @overload
    def __get__(self, instance: object, owner: type) -> Value: ...

    def __get__(self, instance: object | None, owner: type) -> kept_property[Value] | Value:
        if instance is None:
            return self
        value = instance.__dict__[self._name] = self._find(instance)
        return value
