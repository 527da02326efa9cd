"""How far a sharing is: what is being done, and how much of it is done."""

from collections.abc import Callable

from platebook.services.progress_callback import Watch, unwatched
from platebook.values import Value

OWN = "Writing your file"
OTHERS = "Taking in others"
SUMS = "Adding up your class"


class ShareProgress(Value):
    """Who is told: `begins` what begins now, in words, and `watch` how far that is."""

    watch: Watch = unwatched
    begins: Callable[[str], object] = lambda _: None

    def of(self, what: str) -> Watch:
        """The watch for what begins now."""
        self.begins(what)
        self.watch(0, 0)
        return self.watch


UNWATCHED = ShareProgress()
"""Nobody looks."""
