"""The hashes of the frozen records with run sheets among them, worked from the layout in
src/record.rs alone.

Run in this folder: it says of every record whether its hash is right, after hashes.py, whose
reckoning it uses, has said the same of the older ones.
"""

import json

from hashes import digest

with open("records2.jsonl", encoding="utf-8") as lines:
    for line in lines:
        record = json.loads(line)
        if "id" in record:
            # The body is the last field, byte for byte.
            body = line.rstrip("\n").split('"body":', 1)[1][:-1]
            print(record["id"], digest(record, body) == record["hash"])
