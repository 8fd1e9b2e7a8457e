"""Print the table of public names for DEVELOPERS.md: ``python -m lift.make.names``."""

from __future__ import annotations

from textwrap import fill

import lift


def table() -> str:
    """Every public name under the module it is imported from; ``from lift`` as a whole."""
    rows = []
    for module in (lift, lift.teach, lift.lab):
        names = ", ".join(f"`{name}`" for name in module.__all__)
        rows.append(fill(f"- **{module.__name__}** ({len(module.__all__)}): {names}", 100,
                         subsequent_indent="  ", break_on_hyphens=False))  # fmt: skip
    return "\n".join(rows)


if __name__ == "__main__":
    print(table())
