"""The science of the tube: pure functions, no clock, no randomness, no input or output.

What `library.py` names can be used alone, see server/LIBRARY.md; it needs numpy and the standard library only.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from splitline.chemistry.library import *  # noqa: F403 - it says itself what it gives
else:  # A type checker that saw these would take any name for a public one.

    def __getattr__(name):
        """Return a public name. It is looked up late: the commands' help needs one small module, and at once."""
        if name.startswith("_") and name != "__all__":
            raise AttributeError(name)
        library = import_module(f"{__name__}.library")
        if name == "__all__" or name in library.__all__:
            return getattr(library, name)
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

    def __dir__():
        """List the public names too, so that a notebook can complete them."""
        return sorted({*globals(), *import_module(f"{__name__}.library").__all__})
