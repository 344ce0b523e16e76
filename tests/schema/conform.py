"""Applies the schemas to the cases that the tests have written, with jsonschema (an
outside checker, draft 2020-12): each must be taken or refused as the case says.

    python conform.py FOLDER
"""

import json
import sys
from pathlib import Path

from jsonschema import Draft202012Validator


def main(folder: Path) -> None:
    refused = taken = answers = 0
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
            answers += path.name.startswith("answer-")
    assert not wrong, "\n".join(wrong)
    # Fewer would mean that the test did not write its cases.
    assert taken > 40 and refused > 100 and answers > 3, (taken, refused, answers)
    print(f"schema: {taken} files taken, {answers} of them answers, {refused} refused, as told")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
