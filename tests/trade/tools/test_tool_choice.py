"""Which tools are taken, and what they are called."""

from platebook.trade.records import Tool
from platebook.trade.tools.tool_choice import name_of


def test_a_tool_without_a_name_is_called_by_its_size() -> None:
    """Every tool can be named on a card."""
    assert name_of(Tool(kind="bur", shape="ball", size_mm=1.8)) == "1.8 mm ball bur"
    assert name_of(Tool(kind="burnisher")) == "burnisher"
