"""The program under test, asked many sums at once."""

import json
import subprocess
import tempfile
from pathlib import Path


# The program reads documents of a megabyte at most.
TOGETHER = 400


class Program:
    """`stillprop sum NAME --input FILE --json`, with a list of cases in the file."""

    def __init__(self, path: str) -> None:
        self.path = path

    def sums(self, name: str, cases: list[dict]) -> list[dict]:
        """The answers, one for each case and in the same order."""
        parts = range(0, len(cases), TOGETHER)
        return [one for at in parts for one in self._some(name, cases[at : at + TOGETHER])]

    def _some(self, name: str, cases: list[dict]) -> list[dict]:
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "cases.json"
            file.write_text(json.dumps(cases), encoding="utf-8")
            done = subprocess.run(
                [self.path, "sum", name, "--input", str(file), "--json"],
                capture_output=True,
                text=True,
                timeout=60,
                check=False,
            )
        try:
            answers = json.loads(done.stdout)
        except json.JSONDecodeError as error:
            raise SystemExit(f"sum {name}: no JSON ({error})\n{done.stderr.strip()}") from error
        if not isinstance(answers, list) or len(answers) != len(cases):
            raise SystemExit(f"sum {name}: {len(cases)} cases did not give as many answers")
        return answers
