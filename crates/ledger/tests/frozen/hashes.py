"""The hashes of the frozen records, worked from the layout in src/record.rs alone.

Run in this folder: it says of every record whether its hash is right, and prints that of the
single record in frozen.rs.
"""

import hashlib
import json
import uuid


def digest(record, body):
    fields = [
        b"stillprop.record.1",
        uuid.UUID(record["id"]).bytes,
        uuid.UUID(record["device"]).bytes,
        record["seq"].to_bytes(8, "big"),
        record["at_ms"].to_bytes(8, "big", signed=True),
        record["author"].encode(),
        record["subject"].encode(),
        body.encode(),
        bytes.fromhex(record["previous"]),
    ]
    sha = hashlib.sha256()
    for field in fields:
        sha.update(len(field).to_bytes(8, "big"))
        sha.update(field)
    return sha.hexdigest()


with open("records.jsonl", encoding="utf-8") as lines:
    for line in lines:
        record = json.loads(line)
        if "id" in record:
            # The body is the last field, byte for byte.
            body = line.rstrip("\n").split('"body":', 1)[1][:-1]
            print(record["id"], digest(record, body) == record["hash"])

container = "01800000-0000-7000-8000-000000000000"
single = {
    "id": "01900000-0000-7000-8000-000000000007",
    "device": "00000000-0000-0000-0000-000000d00009",
    "seq": 258,
    "at_ms": -2,
    "author": "Ansa Verrel",
    "subject": "container:" + container,
    "previous": bytes(range(32)).hex(),
}
body = '{"v1":{"part-marked":{"container":"' + container + '","left_ml":90000}}}'
print("single", digest(single, body))
