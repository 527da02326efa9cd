"""Text on a screen that is laid out and drawn again only when it has changed."""

from textual.content import Content
from textual.widgets import Static


class Words(Static):
    """Shows a content; never takes a plain string, which would be read as markup."""

    def __init__(self, content: Content | None = None, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(content or Content(""), id=id)
        self._shown = content or Content("")

    def show(self, content: Content) -> None:
        """Show this content."""
        # Contents with the same letters count as equal, whatever their styles.
        if (content.plain, content.spans) != (self._shown.plain, self._shown.spans):
            self._shown = content
            self.update(content, layout=self.styles.is_auto_height)
