"""The few conversions between Python and the browser's own objects.

Imported only where there is a browser; everything else under `mobile/device` can be read, checked
and tested without one.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import js
from pyodide.ffi import JsException, create_once_callable, create_proxy, to_js

from logic.history.storage.store import OutOfSpace, StoreError

Refusal: type[BaseException] = JsException
"""What a refused call of the browser raises."""
SCOPE: Any = js.self
"""The worker itself."""


def app_address() -> str:
    """Where this app is served: the folder of its page, which this worker's file lies in too."""
    return str(js.URL.new("./", SCOPE.location.href).href)


def options(**given: Any) -> Any:
    """A plain object of the browser."""
    return to_js(given, dict_converter=js.Object.fromEntries)


def array(*items: Any) -> Any:
    """An array of the browser."""
    return to_js(list(items))


def outward(data: bytes) -> Any:
    """Bytes as the browser holds them: a copy."""
    return to_js(data)


def buffer(length: int) -> Any:
    """Room for `length` bytes that the browser can write into."""
    return js.Uint8Array.new(length)


def inward(view: Any, length: int | None = None) -> bytes:
    """Bytes out of the browser: a copy."""
    part = view if length is None else view.subarray(0, length)
    return bytes(part.to_bytes())


def error_name(error: BaseException) -> str:
    """The browser's name for what went wrong, such as QuotaExceededError."""
    return str(getattr(error, "name", "") or type(error).__name__)


def store_error(error: BaseException) -> StoreError:
    """The browser's refusal as one of ours."""
    name = error_name(error)
    kind = OutOfSpace if name == "QuotaExceededError" else StoreError
    return kind(f"the browser said {name}: {getattr(error, 'message', error)}")


def guarded(call: Callable[..., Any], *given: Any) -> Any:
    """`call` of the browser, its exceptions turned into StoreError or NoRoom."""
    try:
        return call(*given)
    except JsException as error:
        raise store_error(error) from error


async def awaited(promise: Any) -> Any:
    """What a promise comes to, its refusal turned into StoreError or NoRoom."""
    try:
        return await promise
    except JsException as error:
        raise store_error(error) from error


async def requested(request: Any) -> Any:
    """What a database request comes to."""
    reply = _future()
    request.onsuccess = create_once_callable(lambda _event: _settle(reply, request.result))
    request.onerror = create_once_callable(lambda _event: _fail(reply, request.error))
    return await reply


async def completed(transaction: Any) -> None:
    """Return once the database has made a transaction durable."""
    reply = _future()
    transaction.oncomplete = create_once_callable(lambda _event: _settle(reply, None))
    transaction.onabort = create_once_callable(lambda _event: _fail(reply, transaction.error))
    await reply


def lasting(call: Callable[..., Any]) -> Any:
    """A function of ours that the browser may call any number of times."""
    return create_proxy(call)


def promise(start: Callable[[Callable[[Any], None]], None]) -> Any:
    """A promise that comes true when the function given to `start` is called."""
    return js.Promise.new(create_once_callable(lambda resolve, _reject: start(resolve)))


def _future() -> asyncio.Future[Any]:
    return asyncio.get_running_loop().create_future()


def _settle(reply: asyncio.Future[Any], value: Any) -> None:
    if not reply.done():
        reply.set_result(value)


def _fail(reply: asyncio.Future[Any], error: Any) -> None:
    if not reply.done():
        reply.set_exception(store_error(error) if error else StoreError("the browser gave up"))
