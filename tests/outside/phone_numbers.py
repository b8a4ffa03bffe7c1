#!/usr/bin/python3
"""phone_numbers.py SMS_DUMP: compares the number plans and the reading of numbers with phonenumbers (Python
port of a number library that others keep). Plans: country code, trunk, international prefix, lengths.
Numbers: examples and seeded random ones that the library finds valid, in national and international
writings.

Left out, since the library is known to read otherwise or its data to be old:
- Benin: the data of 8.12.57 have the eight digits of before 30 November 2024.
- 00 written in a country whose own prefix is another (Kenya, Uganda, Tanzania 000; Nigeria 009): the
  library follows the plan and reads a national number; people do type 00. Compared with the number it
  was made from instead.
- Carrier prefixes (Uganda 005, 007, Tanzania 005, 006): not in our table.
A missing library ends this with a failure."""
import random
import re
import subprocess
import sys

import phonenumbers
from phonenumbers import PhoneMetadata, PhoneNumberFormat, PhoneNumberType

SEED = 20261101
NUMBERS_A_PLAN = 60
OLD_DATA = {"BJ"}
ARABIC = str.maketrans("0123456789", "٠١٢٣٤٥٦٧٨٩")
WIDE = str.maketrans("0123456789+", "０１２３４５６７８９＋")


def dump(program, what, lines):
    done = subprocess.run([program, what], input="".join(line + "\n" for line in lines),
                          capture_output=True, text=True, timeout=100, check=False)
    if done.returncode != 0:
        sys.exit(f"{program} {what} ended with {done.returncode}: {done.stderr}")
    return done.stdout.splitlines()


def plan_faults(plan):
    """What the library says otherwise about one line of our table."""
    country, code, trunk, prefixes, shortest, longest, mobile = plan
    data = PhoneMetadata.metadata_for_region(country)
    if data is None:
        return [f"{country}: the library has no such country"]
    found = []
    if str(data.country_code) != code:
        found.append(f"{country}: code got {code}, wanted {data.country_code}")
    if (data.national_prefix or "-") != trunk:
        found.append(f"{country}: trunk got {trunk}, wanted {data.national_prefix}")
    for prefix in prefixes.split(","):
        if not re.fullmatch(data.international_prefix, prefix):
            found.append(f"{country}: prefix got {prefix}, wanted {data.international_prefix}")
    lengths = {n for kind in (data.fixed_line, data.mobile) for n in kind.possible_length}
    if country == "ZA":
        lengths -= {5, 6, 7, 8}  # service numbers that the library lists with mobile ones
    if country not in OLD_DATA and (min(lengths), max(lengths)) != (int(shortest), int(longest)):
        found.append(f"{country}: lengths got {shortest} to {longest}, wanted {sorted(lengths)}")
    mobiles = set(data.mobile.possible_length) - ({5, 6, 7, 8} if country == "ZA" else set())
    if country not in OLD_DATA and mobiles != {int(n) for n in mobile.split(",")} - {0}:
        found.append(f"{country}: mobile lengths got {mobile}, wanted {sorted(mobiles)}")
    return found


def valid_numbers(country, chance):
    """Examples and random numbers of fixed and mobile subscribers, valid by the library."""
    found = []
    for kind in (PhoneNumberType.MOBILE, PhoneNumberType.FIXED_LINE):
        example = phonenumbers.example_number_for_type(country, kind)
        found.append(example)
        text = phonenumbers.national_significant_number(example)
        wanted, tries = len(found) + NUMBERS_A_PLAN // 2, 0
        while len(found) < wanted:
            tries += 1
            if tries > 20000:
                sys.exit(f"{country}: no random valid numbers found")
            keep = chance.randrange(1, 4)
            digits = text[:keep] + "".join(chance.choice("0123456789") for _ in text[keep:])
            try:
                number = phonenumbers.parse(f"+{example.country_code}{digits}", None)
            except phonenumbers.NumberParseException:
                continue
            if phonenumbers.is_valid_number_for_region(number, country) and \
                    phonenumbers.national_significant_number(number) == digits:
                found.append(number)
    return found


def writings(number, plan, chance):
    """(writing, by): by is "library" where its reading is the judge, "made" where it is not."""
    country, code, trunk, prefixes = plan[:4]
    national = phonenumbers.national_significant_number(number)
    dialled = (trunk if trunk != "-" else "") + national
    prefix = prefixes.split(",")[0]
    cut = chance.randrange(1, len(dialled))
    for form in (PhoneNumberFormat.E164, PhoneNumberFormat.INTERNATIONAL,
                 PhoneNumberFormat.NATIONAL, PhoneNumberFormat.RFC3966):
        yield phonenumbers.format_number(number, form), "library"
    yield dialled, "library"
    yield dialled.translate(ARABIC), "library"
    yield f"+{code}{national}".translate(WIDE), "library"
    yield f"({dialled[:cut]}) {dialled[cut:]}", "library"
    yield f"{dialled[:cut]}-{dialled[cut:]}", "library"
    yield f"{dialled[:cut]}.{dialled[cut:]}", "library"
    yield f"{dialled[:cut]}\u00a0{dialled[cut:]}", "library"
    yield f"{code}{national}", "library"
    yield f"{prefix}{code}{national}", "library"
    yield f"00{code} {national}", "library" if prefix == "00" else "made"
    if trunk != "-":
        yield national, "library"
        yield f"+{code} ({trunk}) {national}", "library"


def read_by_library(text, country):
    try:
        number = phonenumbers.parse(text, country)
    except phonenumbers.NumberParseException as e:
        return f"({e})"
    return phonenumbers.format_number(number, PhoneNumberFormat.E164)


def number_cases(plans, chance):
    """(country, writing, wanted), at home and, in international form, from another country."""
    for plan in plans:
        country = plan[0]
        if country in OLD_DATA:
            continue
        for number in valid_numbers(country, chance):
            made = phonenumbers.format_number(number, PhoneNumberFormat.E164)
            for text, judge in writings(number, plan, chance):
                wanted = made if judge == "made" else read_by_library(text, country)
                yield country, text, wanted
            yield chance.choice(plans)[0], made, made


def main():
    program = sys.argv[1]
    chance = random.Random(SEED)
    plans = [line.split() for line in dump(program, "plans", [])]
    faults = [fault for plan in plans for fault in plan_faults(plan)]
    cases = list(number_cases(plans, chance))
    answers = dump(program, "numbers",
                   [f"{country}\t{text.encode().hex()}" for country, text, _ in cases])
    if len(answers) != len(cases):
        sys.exit(f"{len(cases)} lines in, {len(answers)} out")
    faults += [f"{country} '{text}': got {got}, wanted {wanted}"
               for (country, text, wanted), got in zip(cases, answers) if got != wanted]
    for fault in faults[:40]:
        print(fault)
    print(f"{len(plans)} plans and {len(cases)} writings compared with phonenumbers "
          f"{phonenumbers.__version__}, {len(faults)} differ")
    return 1 if faults or len(cases) < 3000 else 0


if __name__ == "__main__":
    sys.exit(main())
