"""Applies the schemas to the cases that the test `schema` has written, with jsonschema (an
outside checker, draft 2020-12): each must be taken or refused as the case says.

    python conform.py FOLDER
"""

import json
import sys
from pathlib import Path

from jsonschema import Draft202012Validator


def main(folder: Path) -> None:
    refused = taken = 0
    wrong = []
    for path in sorted(folder.glob("*.json")):
        cases = json.loads(path.read_text(encoding="utf-8"))
        # Against the draft's own meta-schema, too.
        Draft202012Validator.check_schema(cases["schema"])
        checker = Draft202012Validator(cases["schema"])
        for case in cases["cases"]:
            fits = checker.is_valid(case["file"])
            if fits != case["fits"]:
                wrong.append(f"{path.name}: {case['what']}: the schema says {fits}")
            taken += fits
            refused += not fits
    assert not wrong, "\n".join(wrong)
    # Fewer would mean that the test did not write its cases.
    assert taken > 40 and refused > 100, (taken, refused)
    print(f"schema: {taken} files taken, {refused} refused, as the readers do")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
