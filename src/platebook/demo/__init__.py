"""The invented evening class: what a newcomer looks at, and tests and benchmarks measure with.

| module | holds |
|---|---|
| `evening_class` | the class over a term and what its instructor saw: `evening_class(seed)` |
| `people` | who is in it, their habits, and what is planted in them |
| `workbench` | what lies before each of them: stones, burs, habits of an evening |
| `simulated_setter` | a hand: the seat it cuts, and how the setting comes out |
| `simulated_record` | what such a hand writes down: readings, then the look |
"""
