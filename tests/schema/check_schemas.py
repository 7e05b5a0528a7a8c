#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Holds records to the JSON Schemas in schemas/ with an independent validator.

  check_schemas.py --schemas DIR FOLDER...            every *.json below the folders must be valid
  check_schemas.py --schemas DIR --reader PROGRAM --good DIR --broken DIR
                                                      both the validator and our reader accept the good, refuse the broken

The kind of a record is its own "kind"; in the corpus it is the beginning of the file's name.
"""
import argparse
import json
import pathlib
import re
import subprocess
import sys

from jsonschema import Draft202012Validator

BROKEN_AT_LEAST = 8  # a kind


def no_pair_twice(pairs):
    keys = [key for key, _ in pairs]
    if len(keys) != len(set(keys)):
        raise ValueError("a key stands twice")
    return dict(pairs)


def no_constant(word):
    raise ValueError(word + " is no JSON number")


def read(path):
    text = path.read_bytes().decode("utf-8")
    return json.loads(text, object_pairs_hook=no_pair_twice, parse_constant=no_constant)


def load_validators(folder):
    validators = {}
    for path in sorted(folder.glob("*.schema.json")):
        schema = read(path)
        Draft202012Validator.check_schema(schema)
        validators[path.name[: -len(".schema.json")]] = Draft202012Validator(schema)
    if not validators:
        sys.exit("no schema in %s" % folder)
    return validators


def complaint(validator, path):
    """None when the file is valid."""
    try:
        record = read(path)
    except (ValueError, RecursionError) as error:
        return str(error)
    for error in validator.iter_errors(record):
        return "%s: %s" % ("/".join(map(str, error.absolute_path)), error.message[:200])
    return None


def check_folders(validators, folders):
    wrong = []
    count = 0
    for folder in folders:
        for path in sorted(folder.rglob("*.json")):
            count += 1
            try:
                kind = read(path).get("kind")
            except (ValueError, AttributeError) as error:
                wrong.append("%s: %s" % (path, error))
                continue
            if kind not in validators:
                wrong.append("%s: no schema for kind %r" % (path, kind))
                continue
            reason = complaint(validators[kind], path)
            if reason:
                wrong.append("%s: %s" % (path, reason))
    print("%d records validated" % count)
    if count == 0:
        wrong.append("no record was found")
    return wrong


def check_corpus(validators, reader, good, broken):
    wrong = []
    paths = {True: sorted(good.glob("*.json")), False: sorted(broken.glob("*.json"))}
    every = paths[True] + paths[False]
    told = subprocess.run([reader] + [str(path) for path in every], capture_output=True, text=True, check=False)
    if told.returncode:
        return ["the reader failed: " + told.stderr]
    by_reader = {}
    for line in told.stdout.splitlines():
        word, rest = line.split(" ", 1)
        by_reader[rest.split(".json")[0] + ".json"] = (word, rest)
    counts = {(kind, fine): 0 for kind in validators for fine in (True, False)}
    for fine, some in paths.items():
        for path in some:
            kind = next(known for known in validators if re.match(known + "[-.]", path.name))
            counts[kind, fine] += 1
            reason = complaint(validators[kind], path)
            if (reason is None) != fine:
                wrong.append("%s: the validator %s" % (path.name, "accepts it" if reason is None else "says " + reason))
            word, said = by_reader[str(path)]
            if (word == "accepted") != fine:
                wrong.append("%s: the reader %s it: %s" % (path.name, word, said))
    for (kind, fine), count in counts.items():
        if count < (1 if fine else BROKEN_AT_LEAST):
            wrong.append("only %d %s records of kind %s" % (count, "good" if fine else "broken", kind))
    print("%d good and %d broken records" % (len(paths[True]), len(paths[False])))
    return wrong


def main():
    parser = argparse.ArgumentParser(description="Holds records to their JSON Schemas.")
    parser.add_argument("--schemas", type=pathlib.Path, required=True)
    parser.add_argument("--reader")
    parser.add_argument("--good", type=pathlib.Path)
    parser.add_argument("--broken", type=pathlib.Path)
    parser.add_argument("folders", type=pathlib.Path, nargs="*")
    chosen = parser.parse_args()
    validators = load_validators(chosen.schemas)
    wrong = []
    if chosen.reader:
        wrong += check_corpus(validators, chosen.reader, chosen.good, chosen.broken)
    if chosen.folders or not chosen.reader:
        wrong += check_folders(validators, chosen.folders)
    for line in wrong:
        print(line, file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
