"""The program under test, asked many sums at once."""

import json
import subprocess
import tempfile
from pathlib import Path


class Program:
    """`stillprop sum NAME --input FILE --json`, with a list of cases in the file."""

    def __init__(self, path: str) -> None:
        self.path = path

    def sums(self, name: str, cases: list[dict[str, str]]) -> list[dict]:
        """The answers, one for each case and in the same order."""
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
