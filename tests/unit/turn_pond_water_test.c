/* What was measured in water, gasping and dying fish, a treatment, a day for the catch, the height:
 * every answer word for word, who else is told, what is refused, UNDO and FIX. Percentages of
 * saturation against APHA's table of Benson and Krause (8.418 mg/l at 24 degC and 1 atm: 4.2 is
 * 50 %), ammonia against the University of Florida's table of Emerson's formula (0.0654 of the
 * total at pH 8.0 and 28 degC). */
#include "sms/parts.h"
#include "turn_stage.h"

/* 5000 fish of 20 g in a pond of four ares, an aerator not known. */
static void a_pond(struct stage *s) {
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), WORKER, "pond p2 4 ares 1m");
    stage_text(s, AT(MON, 8, 5), WORKER, "stock p2 5000 20g");
}

static int64_t entries(const struct stage *s) {
    return farm_head(&s->farm);
}

struct row {
    const char *text, *wanted;
};

static void each(struct stage *s, const struct row *rows, size_t count, bool recorded) {
    for (size_t i = 0; i < count; i++) {
        a_pond(s);
        int64_t before = entries(s);
        stage_text(s, AT(TUE, 10, 0), WORKER, rows[i].text);
        WANT_TEXT(s, WORKER, 0, rows[i].wanted);
        if ((entries(s) > before) != recorded)
            fail_msg("%s: %d entries, %s wanted", rows[i].text, (int)(entries(s) - before),
                     recorded ? "some" : "none");
    }
}
#define EACH(stage, rows, recorded) each((stage), (rows), sizeof(rows) / sizeof *(rows), (recorded))

static void what_to_do_first(void **state) {
    static const struct row rows[] = {
        {"water p2 do 4.2 t24",
         "P2 at 10:00: 24C, oxygen 4.2 mg/l (50% of full). Nothing wrong in this. Wrong? UNDO"},
        {"water p2 do 5", "P2 at 10:00: oxygen 5 mg/l (degrees not read with it). Nothing wrong in "
                          "this. Wrong? UNDO"},
        {"p2 do 5 t24",
         "P2 at 10:00: 24C, oxygen 5 mg/l (59% of full). Nothing wrong in this. Wrong? UNDO"},
        {"temp p2 26", "P2 at 10:00: 26C. Nothing wrong in this. Wrong? UNDO"},
        {"water p2 do 1.9 secchi 15 no2 1",
         "P2 at 10:00: oxygen 1.9 mg/l (degrees not read with it), nitrite 1 (167% of limit), "
         "Secchi 15cm (too green). Too little oxygen. First: no feed, aerate or run in good water "
         "now, stay there. Read it again in an hour. Wrong? UNDO"},
        /* 2 x 0.0654 is 0.131 mg/l, 131 % of the 0.1 for fish of 5 to 100 g */
        {"water p2 t28 ph8 tan2 no2 0.9",
         "P2 at 10:00: 28C, pH 8, ammonia 2: harmful NH3 0.13 (131% of limit), nitrite 0.9 (150% "
         "of "
         "limit). Too much ammonia. First: no feed, change some water for good water. Read pH in "
         "the afternoon, it is worst then. Wrong? UNDO"},
        {"water p2 t28 ph8 tan1",
         "P2 at 10:00: 28C, pH 8, ammonia 1: harmful NH3 0.07 (66% of limit). Ammonia is over half "
         "of what they bear. First: feed less. Read it and pH in the afternoon, pH is highest "
         "then. Wrong? UNDO"},
        {"water p2 tan1",
         "P2 at 10:00: ammonia 1. To judge ammonia I need degrees and pH, best of the afternoon: "
         "WATER P2 PH 7.8 T26. Wrong? UNDO"},
        {"water p2 no2 0.7 secchi 22",
         "P2 at 10:00: nitrite 0.7 (117% of limit), Secchi 22cm (very green). Too much nitrite. "
         "First: no feed, change some water for good water. Read it again tomorrow. Wrong? UNDO"},
        {"water p2 secchi 19 do 3",
         "P2 at 10:00: oxygen 3 mg/l (degrees not read with it), Secchi 19cm (too green). So green "
         "that oxygen may end before dawn. First: no feed, no manure, run in good water, be there "
         "at dawn. Wrong? UNDO"},
        {"water p2 secchi 20",
         "P2 at 10:00: Secchi 20cm (very green). First: no feed and no manure "
         "until Secchi is over 25cm. Look at dawn. Wrong? UNDO"},
        {"water p2 secchi 25",
         "P2 at 10:00: Secchi 25cm (good). Nothing wrong in this. Wrong? UNDO"},
        {"water p2 secchi 41",
         "P2 at 10:00: Secchi 41cm (clear). Clear water holds little "
         "plankton: fry need more food, larger fish do not mind. Wrong? UNDO"},
        {"water p2 do 3",
         "P2 at 10:00: oxygen 3 mg/l (degrees not read with it). Little oxygen. First: half the "
         "feed at most, no manure, aerator or good water ready, look at dawn. Wrong? UNDO"},
        {"water p2 do 18 t24", /* APHA: 8.418 mg/l are full */
         "P2 at 10:00: 24C, oxygen 18 mg/l (214% of full). Over twice what water holds: a kit that "
         "is off, or very green water. Read it again and at dawn, when it is least. Wrong? UNDO"},
        {"water p2 t17", "P2 at 10:00: 17C. Too cold to eat: no feed until it is warmer, it would "
                         "only spoil the water. Wrong? UNDO"},
        {"water p2 t35", "P2 at 10:00: 35C. Too warm to eat well: no feed now. Run in good cooler "
                         "water if you have it, look for gasping fish. Wrong? UNDO"},
        {"pond p2 ph 9.2", "P2 at 10:00: pH 9.2. High pH makes ammonia worse. No fry into it. Read "
                           "the ammonia too: WATER P2 TAN 0.5. Wrong? UNDO"},
        /* Boyd: 6.5 to 9 is good, fish die at 4 and at 11 */
        {"water p2 ph 4",
         "P2 at 10:00: pH 4. So acid fish can die: 6.5 to 9 is good. No feed, no quick lime, run "
         "in good water now. Read it in an hour. Wrong? UNDO"},
        {"water p2 ph 5", "P2 at 10:00: pH 5. Acid, they grow less: 6.5 to 9 is good. Run in good "
                          "water. Lime when dry, by its soil: POND P2 PH 5.5 LOAM. Wrong? UNDO"},
        {"water p2 ph 6.4",
         "P2 at 10:00: pH 6.4. Acid, they grow less: 6.5 to 9 is good. Run in good water. Lime "
         "when dry, by its soil: POND P2 PH 5.5 LOAM. Wrong? UNDO"},
        {"water p2 ph 6.5", "P2 at 10:00: pH 6.5. Nothing wrong in this. Wrong? UNDO"},
        {"water p2 ph 10 tan 0.1",
         "P2 at 10:00: pH 10, ammonia 0.1. So alkaline fish can die: 6.5 to 9 is good. No feed, "
         "no lime, no manure, run in good water. Read ammonia too. Wrong? UNDO"},
        {"water b2 ph 6", "B2 at 10:00: pH 6. pH 6.5 to 9 is good. Change a quarter for good "
                          "water, as warm, bit by bit, no feed, and read it again in an hour. "
                          "Wrong? UNDO"},
        {"water p2 do 1 6am",
         "P2 at 06:00: oxygen 1 mg/l (degrees not read with it). Too little oxygen. First: no "
         "feed, "
         "aerate or run in good water now, stay there. Read it again in an hour. Wrong? UNDO"},
        {"water p2 do 1 yesterday 9am",
         "P2 at Mon 09:00: oxygen 1 mg/l (degrees not read with it). "
         "Noted late, nothing to do for it now. Wrong? UNDO"},
    };
    EACH((struct stage *)*state, rows, true);
}

static void what_cannot_be(void **state) {
    static const struct row rows[] = {
        {"water p2 do 50 ph 8", "Oxygen 50 mg/l cannot be: water has 0 to 15, seldom 20. Read it "
                                "again. Nothing recorded"},
        {"water p2 do 5 ph 15",
         "pH 15 cannot be here: water and soil have 3 to 12. Read it again. Nothing recorded"},
        {"water p2 do 5 tan 60",
         "Ammonia 60 mg/l cannot be: water has 0 to 10. Read it again. Nothing recorded"},
        {"water p2 do 5 no2 60",
         "Nitrite 60 mg/l cannot be: water has 0 to 5. Read it again. Nothing recorded"},
        {"water p2 do 5 secchi 5 m",
         "Secchi 500cm cannot be: ponds have 10 to 100cm. Read it again. Nothing recorded"},
        {"water p2 do 5 t60", "60C cannot be the water here: it has 8C to 40C. Text it all again "
                              "with the right degrees. Nothing recorded"},
        {"water p2 t7", "7C cannot be the water here: it has 8C to 40C. Text it all again with the "
                        "right degrees. Nothing recorded"},
        {"water p2 t41", "41C cannot be the water here: it has 8C to 40C. Text it all again with "
                         "the right degrees. Nothing recorded"},
        {"water p2 5", "\"5\": of what? T26 is degrees, DO 5 oxygen, PH 7.5, SECCHI 30. Text it "
                       "all again. Nothing recorded"},
        {"water p2 37", "\"37\": of what? T26 is degrees, DO 5 oxygen, PH 7.5, SECCHI 30. Text it "
                        "all again. Nothing recorded"},
        {"water p3 do 5", "No pond P3 here. You have P2. New? POND P3 4 ares 0.8m"},
        {"water p2", "P2: what was measured? Answer like DO 3.2 PH 7.8 T26 TAN 0.5, or what of it "
                     "you have"},
        {"gasp p3", "No pond P3 here. You have P2. New? POND P3 4 ares 0.8m. Gasping: no feed, run "
                    "in good water or aerate now, stay"},
        {"catch p2 1 march", "1 Mar is past, or more than a year away. Text a day to come, like 14 "
                             "march. Nothing recorded"},
        {"catch p2 yesterday", "2 Mar is past, or more than a year away. Text a day to come, like "
                               "14 march. Nothing recorded"},
        {"catch p2 31 february", "CATCH: I do not understand \"31 february\". Text it all again, "
                                 "or HELP CATCH. Nothing recorded"},
        {"height 6000m", "6000m above the sea cannot be: farms lie at 0 to 3000m. Text it in "
                         "metres. Nothing recorded"},
        {"height", "How high the farm lies was not said, so I reckon as at the sea. Text HEIGHT "
                   "1200m. Nothing recorded"},
        {"catch p2", "P2: no day is set for harvest or transport. Which? Answer like 14 march"},
    };
    EACH((struct stage *)*state, rows, false);
}

/* A number alone could be any reading: it is asked again, not taken as oxygen. */
static void a_number_alone_is_asked_again(void **state) {
    static const char asks[] = "P2: what was measured? Answer like DO 3.2 PH 7.8 T26 TAN 0.5, or "
                               "what of it you have";
    struct stage *s = *state;
    a_pond(s);
    int64_t before = entries(s);
    stage_text(s, AT(TUE, 10, 0), WORKER, "water p2");
    WANT_TEXT(s, WORKER, 0, asks);
    stage_text(s, AT(TUE, 10, 1), WORKER, "26");
    WANT_TEXT(s, WORKER, 0, asks);
    assert_int_equal(entries(s), before);
    stage_text(s, AT(TUE, 10, 2), WORKER, "do 5");
    WANT_TEXT(s, WORKER, 0,
              "P2 at 10:00: oxygen 5 mg/l (degrees not read with it). Nothing wrong in this. "
              "Wrong? UNDO");
}

/* The most that one text can say, in both languages: two parts. */
static void two_parts_at_most(void **state) {
    struct stage *s = *state;
    static const char *const texts[] = {
        "water p2 t26.5 do1.25 ph8.85 tan10.5 no2 10.5 secchi 22.5 09:55",
        "water p2 t26.5 do5.25 ph8.85 tan10.5 no2 10.5 secchi 22.5 09:55",
        "water p2 t26.5 do3.25 ph7.05 tan0.55 no2 0.35 secchi 18.5 09:55",
        "water b2 t26.5 do3.25 ph8.85 tan10.5 no2 10.5 secchi 22.5 09:55",
        "water b2 t26.5 do6.25 ph8.85 tan10.5 no2 10.5 secchi 22.5 09:55",
    };
    for (int language = 0; language < 2; language++)
        for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
            a_pond(s);
            s->people[WORKER].language = language ? s->grammar.sw : s->grammar.en;
            stage_text(s, AT(TUE, 10, 0), WORKER, texts[i]);
            const char *got = stage_got(s, WORKER, 0);
            struct sms_size size;
            assert_int_equal(sms_measure(slice_of(got), &s->arena, &size), ERR_OK);
            if (size.parts > 2 || size.alphabet != SMS_GSM7)
                fail_msg("%s: %d parts of %s: %s", texts[i], size.parts,
                         sms_alphabet_name(size.alphabet), got);
        }
    s->people[WORKER].language = s->grammar.en;
}

static void with_what_was_known(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(TUE, 9, 0), WORKER, "water p2 t24 tan1");
    stage_text(s, AT(TUE, 10, 0), WORKER, "water p2 do 4.2"); /* degrees of an hour ago */
    WANT_TEXT(s, WORKER, 0,
              "P2 at 10:00: oxygen 4.2 mg/l (50% of full). Nothing wrong in this. Wrong? UNDO");
    stage_text(s, AT(TUE, 10, 5), WORKER, "water p2 t28 ph8"); /* judges the ammonia of then */
    WANT_TEXT(s, WORKER, 0,
              "P2 at 10:05: 28C, pH 8, ammonia 1: harmful NH3 0.07 (66% of limit). Ammonia is over "
              "half of what they bear. First: feed less. Read it and pH in the afternoon, pH is "
              "highest then. Wrong? UNDO");
    stage_text(s, AT(TUE, 17, 0), WORKER, "water p2 do 4.2"); /* too long ago */
    assert_non_null(strstr(stage_got(s, WORKER, 0), "degrees not read with it"));
    stage_text(s, AT(WED, 9, 0), OWNER, "height 1200m");
    WANT_TEXT(s, OWNER, 0,
              "The farm lies 1200m above the sea: noted. Water of 26C holds 6.99 mg/l of oxygen at "
              "most there. Wrong? UNDO");
    stage_text(s, AT(WED, 9, 1), OWNER, "height");
    WANT_TEXT(s, OWNER, 0,
              "The farm lies 1200m above the sea: water of 26C holds 6.99 mg/l of oxygen at most. "
              "Nothing recorded");
    /* 6.74 mg/l at 28 degC and 1200 m: 3.37 is half */
    stage_text(s, AT(WED, 9, 2), WORKER, "water p2 do 4.04 t28");
    WANT_TEXT(s, WORKER, 0,
              "P2 at 09:00: 28C, oxygen 4.04 mg/l (60% of full). Nothing wrong in this. Wrong? "
              "UNDO");
}

/* Fry have gills only; of larger fish more ammonia is borne; of nobody nothing is said. */
static void by_the_fish_that_are_there(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), WORKER, "pond p1 4 ares 0.8m");
    stage_text(s, AT(MON, 8, 0), WORKER, "water p1 do 1");
    WANT_TEXT(s, WORKER, 0,
              "P1 at 08:00: oxygen 1 mg/l (degrees not read with it). Noted. No fish are known in "
              "it. Wrong? UNDO");
    stage_text(s, AT(MON, 8, 1), WORKER, "water p1 ph 9.4");
    WANT_TEXT(s, WORKER, 0,
              "P1 at 08:00: pH 9.4. pH too high: no fry into it yet. Renew some water, read it "
              "again in two days. Wrong? UNDO");
    stage_text(s, AT(MON, 8, 5), WORKER, "stock p1 9000 fry 0.1g");
    stage_text(s, AT(MON, 9, 0), WORKER, "water p1 do 3.9");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "Too little oxygen"));
    stage_text(s, AT(MON, 9, 1), WORKER, "water p1 t28 ph8 tan1"); /* 0.065 of 0.05 */
    assert_non_null(strstr(stage_got(s, WORKER, 0), "(131% of limit). Too much ammonia"));
    stage_text(s, AT(MON, 10, 0), WORKER, "water b2 do 3.9");
    WANT_TEXT(
        s, WORKER, 0,
        "B2 at 10:00: oxygen 3.9 mg/l (degrees not read with it). Too little oxygen. No feed, "
        "more air, pour water from a height, change a quarter, as warm. Read it in an hour. "
        "Wrong? UNDO");
    stage_text(s, AT(MON, 10, 1), WORKER, "water b2 t28 ph8 tan1");
    WANT_TEXT(s, WORKER, 0,
              "B2 at 10:00: 28C, pH 8, ammonia 1: harmful NH3 0.07 (131% of limit). Too much "
              "ammonia. No feed, siphon the bottom, change a third with good water, as warm. Read "
              "it in an hour. Wrong? UNDO");
    stage_text(s, AT(MON, 10, 2), WORKER, "water b2 no2 0.7 secchi 30");
    WANT_TEXT(s, WORKER, 0,
              "B2 at 10:00: nitrite 0.7 (117% of limit), Secchi 30cm. Too much nitrite. No feed, "
              "siphon the bottom, change a third with good water, as warm. Read it in an hour. "
              "Wrong? UNDO");
    stage_text(s, AT(MON, 18, 0), WORKER, "inject f3 1.2kg b2 t26");
    stage_text(s, AT(MON, 18, 5), WORKER, "water f3 do 3.9"); /* she breathes air */
    WANT_TEXT(s, WORKER, 0,
              "B2 at 18:05: oxygen 3.9 mg/l (48% of full). Nothing wrong in this. Wrong? UNDO");
    stage_text(s, AT(MON, 18, 6), WORKER, "water b2 do 5 t20"); /* her hours hang on the degrees */
    assert_non_null(strstr(stage_got(s, WORKER, 0), "YES"));
}

static void an_evening(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(TUE, 18, 0), WORKER, "water p2 do 6 t29");
    WANT_TEXT(s, WORKER, 0,
              "P2 at 18:00: 29C, oxygen 6 mg/l (78% of full). Read oxygen again in 2 to 3 hours: "
              "two readings of one evening show what is left at dawn. Wrong? UNDO");
    stage_text(s, AT(TUE, 21, 0), WORKER, "water p2 do 4.8"); /* 0.4 an hour: 2 after ten hours */
    WANT_TEXT(s, WORKER, 0,
              "P2 at 21:00: oxygen 4.8 mg/l (62% of full). Line to dawn 1.2 mg/l, under 2 from Wed "
              "04:00. No feed, aerator or good water ready. A text comes before. Wrong? UNDO");
    stage_text(s, AT(TUE, 21, 1), WORKER, "why");
    WANT_TEXT(s, WORKER, 0,
              "Water of 29C at 0m holds 7.69 mg/l of oxygen when full (Benson and Krause 1984). "
              "Under 2 these fish are in danger (from memory, careful). The line to dawn is "
              "straight through two readings (Boyd 1978, from memory). A guess, on the careful "
              "side");
    stage_text(s, AT(TUE, 21, 5), WORKER, "fix p2 do 5.4"); /* 0.2 an hour */
    WANT_TEXT(s, WORKER, 0,
              "WATER P2: now 5.4 mg/l, was 4.8 mg/l. P2 at 21:00: oxygen 5.4 mg/l (70% of full). "
              "Line to dawn 3.6 mg/l, over the 2 they need. Look at dawn all the same. Wrong? "
              "UNDO");
    stage_wake(s, AT(TUE, 27, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
    stage_text(s, AT(TUE, 27, 5), WORKER, "undo"); /* the line of 4.8 stands again */
    WANT_TEXT(s, WORKER, 1,
              "P2: oxygen runs low tonight from 04:00. No feed. Aerate or run in good water now, "
              "stay till dawn. Text OK");
}

/* Due when it is answered: said once, and the owner is called when no OK comes. */
static void at_once_in_the_night(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(TUE, 22, 0), WORKER, "water p2 do 4");
    stage_text(s, AT(TUE, 24, 0), WORKER, "water p2 do 2.5");
    WANT_TEXT(
        s, WORKER, 0,
        "P2 at 00:00: oxygen 2.5 mg/l (degrees not read with it). Line to dawn 0 mg/l, under 2 "
        "from 00:40. No feed, air or good water in now, stay till dawn. Text OK. Wrong? UNDO");
    WANT_TEXT(s, WORKER, 1, "");
    stage_wake(s, AT(TUE, 24, 15), OUTCOME_DELIVERED);
    assert_non_null(strstr(stage_got(s, WORKER, 0), "no answer"));
    stage_wake(s, AT(TUE, 24, 30), OUTCOME_DELIVERED);
    assert_non_null(strstr(stage_got(s, OWNER, 0), "CALL"));
    stage_text(s, AT(TUE, 24, 40), WORKER, "ok p2");
    WANT_TEXT(s, WORKER, 0,
              "P2: good, you are on it. No feed until the fish are calm in the morning. They gasp? "
              "More air and water at once");
    stage_text(s, AT(TUE, 25, 0), WORKER, "water p2 do 1.8");
    WANT_TEXT(
        s, WORKER, 0,
        "P2 at 01:00: oxygen 1.8 mg/l (degrees not read with it). Too little oxygen, the night "
        "takes more. No feed, aerate or run in good water now, stay till dawn. Text OK. "
        "Wrong? UNDO");
}

static void gasping(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(TUE, 5, 0), WORKER, "gasp p2");
    WANT_TEXT(s, WORKER, 0,
              "P2: no feed. Run in good water or aerate now, pour from a height, leave the bottom "
              "alone, stay. Oxygen? Answer DO 3.2");
    WANT_TEXT(s, OWNER, 0,
              "P2: fish gasp at 05:00, says +447700900002. Told: no feed, good water in, aerate, "
              "stay. CALL, bring what aerates");
    WANT_NONE(s, ADVISER);
    stage_text(s, AT(TUE, 5, 5), WORKER, "2.4");
    WANT_TEXT(s, WORKER, 0,
              "P2 at 05:05: oxygen 2.4 mg/l (degrees not read with it). Too little oxygen. First: "
              "no feed, aerate or run in good water now, stay there. Read it again in an hour. "
              "Wrong? UNDO");
    s->people[OWNER].stopped = true; /* no owner listens: the adviser */
    stage_text(s, AT(TUE, 5, 40), WORKER, "gasp p2");
    WANT_TEXT(s, WORKER, 0,
              "P2 still gasp: more good water and air, no feed, bottom left alone, call for help. "
              "Calm? OK P2. Oxygen? DO 3.2");
    assert_non_null(strstr(stage_got(s, ADVISER, 0), "P2: fish gasp at 05:40"));
    WANT_NONE(s, OWNER);
    s->people[OWNER].stopped = false;
    stage_text(s, AT(TUE, 6, 31), WORKER,
               "do 4.5"); /* the question is over, the pond the only one */
    WANT_TEXT(
        s, WORKER, 0,
        "P2 at 06:30: oxygen 4.5 mg/l (degrees not read with it). Oxygen is enough. None gasp now? "
        "FEED P2. Still gasp: no feed, read ammonia and nitrite, ask your adviser. "
        "Wrong? UNDO");
    stage_text(s, AT(TUE, 6, 35), WORKER, "ok p2");
    WANT_TEXT(
        s, WORKER, 0,
        "P2: good. Before you feed, ask FEED P2. Look again at dawn. They gasp again? GASP P2");
    int64_t before = entries(s);
    stage_text(s, AT(TUE, 7, 0), OWNER, "gasp b2"); /* the owner himself: nobody else is told */
    WANT_TEXT(s, OWNER, 0,
              "B2: more air now, pour water from a height, change a quarter, as warm, no feed. No "
              "power? AIR OFF. Oxygen? DO 3.2");
    WANT_NONE(s, ADVISER);
    assert_int_equal(entries(s), before);
    stage_text(s, AT(WED, 12, 0), WORKER, "gasp p2 11pm yesterday");
    WANT_TEXT(s, WORKER, 0, "GASP P2 Tue 23:00: noted late, nothing to do for it now. Wrong? UNDO");
    WANT_NONE(s, OWNER);
}

/* An answer that names another pond is of that one. */
static void another_pond(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(TUE, 4, 0), WORKER, "pond p4 4 ares 1m");
    stage_text(s, AT(TUE, 5, 0), WORKER, "gasp p2");
    stage_text(s, AT(TUE, 5, 1), WORKER, "p4 do 5");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "P4 at 05:00: oxygen 5"));
    stage_text(s, AT(TUE, 5, 2), WORKER, "b2 do 5");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "B2 at 05:00: oxygen 5"));
}

static void many_dead(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(MON, 9, 0), WORKER, "dead p2 249"); /* of 5000 */
    assert_null(strstr(stage_got(s, WORKER, 0), "No feed"));
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P2: 249 dead in a day till 09:00"));
    a_pond(s);
    stage_text(s, AT(MON, 9, 0), WORKER, "dead p2 49"); /* under a hundredth */
    WANT_NONE(s, OWNER);
    stage_text(s, AT(MON, 9, 1), WORKER, "dead p2 1");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "P2: 50 dead in a day is too many"));
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P2: 50 dead in a day till 09:00"));
    stage_text(s, AT(MON, 9, 2), WORKER, "dead p2 9"); /* he heard of them */
    WANT_NONE(s, OWNER);
    a_pond(s);
    stage_text(s, AT(MON, 9, 0), WORKER, "dead p2 250");
    WANT_TEXT(s, WORKER, 0,
              "P2: 250 dead in a day. No feed, good water in, keep samples, none to other "
              "ponds, call fisheries office. Wrong? UNDO");
    WANT_TEXT(s, OWNER, 0,
              "P2: 250 dead in a day till 09:00, says +447700900002. No feed, good water, samples, "
              "none to other ponds. Call the fisheries office");
    a_pond(s);
    stage_text(s, AT(MON, 9, 0), WORKER, "dead p2 5");
    stage_text(s, AT(TUE, 9, 0), WORKER, "dead p2 8");
    WANT_NONE(s, OWNER);
    stage_text(s, AT(WED, 9, 0), WORKER, "dead p2 6");
    WANT_NONE(s, OWNER);
    stage_text(s, AT(WED, 15, 0), WORKER, "dead p2 4");
    WANT_TEXT(s, WORKER, 0,
              "P2: 5, 8, 10 dead in 3 days. No feed, good water in, keep samples, none to "
              "other ponds, call fisheries office. Wrong? UNDO");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P2: 10 dead in a day till 15:00"));
    a_pond(s); /* in parts; the owner hears when they are many, and not of each one more */
    stage_text(s, AT(MON, 9, 0), WORKER, "dead p2 150");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P2: 150 dead in a day till 09:00"));
    stage_text(s, AT(MON, 12, 0), WORKER, "dead p2 130");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "P2: 280 dead in a day. No feed"));
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P2: 280 dead in a day till 12:00"));
    stage_text(s, AT(MON, 13, 0), WORKER, "dead p2 3");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "P2: 283 dead in a day. No feed"));
    WANT_NONE(s, OWNER);
    stage_text(s, AT(TUE, 14, 0), WORKER, "dead p2 3");
    assert_null(strstr(stage_got(s, WORKER, 0), "many"));
}

static void what_stops_the_feed(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(TUE, 9, 0), WORKER, "treated p2");
    WANT_TEXT(s, WORKER, 0,
              "P2 treatment: no feed while it runs and till Wed 09:00 at least. Label and vet "
              "first, no doses by text. Wrong? UNDO");
    stage_text(s, AT(WED, 10, 0), WORKER, "treated p2 9am yesterday");
    WANT_TEXT(s, WORKER, 0,
              "TREATED P2 Tue 09:00: noted late, nothing to do for it now. Wrong? UNDO");
    stage_text(s, AT(WED, 10, 1), WORKER, "catch p2");
    stage_text(s, AT(WED, 10, 2), WORKER, "14 march");
    WANT_TEXT(s, WORKER, 0,
              "P2: harvest or transport 14 Mar. Feed as usual, none from the morning of 13 Mar: a "
              "text comes then. Wrong? UNDO");
    stage_text(s, AT(WED, 10, 3), WORKER, "catch p2");
    WANT_TEXT(s, WORKER, 0,
              "P2: harvest or transport is set for 14 Mar, no feed from 13 Mar. Another day? CATCH "
              "P2 14 march. Nothing recorded");
    stage_text(s, AT(WED, 10, 4), WORKER, "transport p2 tomorrow");
    WANT_TEXT(s, WORKER, 0,
              "P2: harvest or transport 5 Mar. No feed from now on, empty guts travel better. "
              "Wrong? UNDO");
    WANT_TEXT(s, WORKER, 1, ""); /* the plan does not say it again */
    stage_text(s, AT(WED, 10, 5), WORKER, "catch p2");
    WANT_TEXT(s, WORKER, 0,
              "P2: harvest or transport is set for 5 Mar: no feed now. Another day? CATCH P2 14 "
              "march. Nothing recorded");
    stage_text(s, AT(WED, 10, 6), WORKER, "undo");
    stage_wake(s, AT(11, 7, 0), OUTCOME_DELIVERED); /* the 13th */
    assert_non_null(strstr(stage_got(s, WORKER, 0), "harvest or transport is 14 Mar"));
    stage_text(s, AT(11, 8, 0), WORKER, "undo p2");
    stage_text(s, AT(11, 8, 1), WORKER, "yes");
    stage_text(s, AT(11, 8, 2), WORKER, "catch p2");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "no day is set"));
    stage_text(s, AT(11, 8, 3), WORKER, "tomorrow");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "harvest or transport 14 Mar. No feed"));
    stage_text(s, AT(20, 9, 0), WORKER, "catch p2 10 march 2027"); /* a year, or it is past */
    assert_non_null(strstr(stage_got(s, WORKER, 0), "10 Mar"));
}

static void shapes_and_lime(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(TUE, 9, 0), WORKER, "pond p2 ph 5.5 loam");
    WANT_TEXT(s, WORKER, 0,
              "P2 has fish: lime it when dry, 48kg ground limestone. Never hydrated or quick lime "
              "with fish in: it kills them");
    stage_text(s, AT(TUE, 9, 1), WORKER, "pond p2 aerated");
    WANT_TEXT(s, WORKER, 0,
              "P2 has an aerator: noted. It is wanted most from midnight to dawn. Wrong? UNDO");
    assert_int_equal(farm_pond(&s->farm.state, 2)->aerator, AERATOR_RUNS);
    stage_text(s, AT(TUE, 9, 2), WORKER, "pond p2 still");
    WANT_TEXT(s, WORKER, 0,
              "P2 has no aerator: noted. If it gets much feed you are told to look at dawn. Wrong? "
              "UNDO");
    stage_text(s, AT(TUE, 9, 3), WORKER, "tank b2 7.5m across 2m deep");
    WANT_TEXT(s, WORKER, 0,
              "B2 88.36 m3 noted: up to 13000000 larvae with air and water changed. Wrong? UNDO");
    stage_text(s, AT(TUE, 9, 4), WORKER, "tank b2");
    WANT_TEXT(s, WORKER, 0, "B2 88.36 m3: up to 13000000 larvae with air and water changed");
    stage_text(s, AT(TUE, 9, 5), WORKER, "pond p4 20m across 1.2m deep"); /* 314 m2: 377 m3 */
    WANT_TEXT(s, WORKER, 0,
              "P4 3.1 ares, 1.2m deep, 377 m3: room for 7500-38000 fry, but fry want 1m at most: "
              "fill it less. Wrong? UNDO");
}

static void why(void **state) {
    struct stage *s = *state;
    a_pond(s);
    stage_text(s, AT(TUE, 9, 0), WORKER, "water p2 t28 ph8 tan1");
    stage_text(s, AT(TUE, 9, 1), WORKER, "why");
    WANT_TEXT(s, WORKER, 0,
              "At pH 8 and 28C 6.54% of ammonia is NH3 (Emerson 1975). These fish bear 0.1 mg N/l "
              "of NH3, so 1.53 in all");
    stage_text(s, AT(TUE, 9, 2), WORKER, "water p2 secchi 30");
    stage_text(s, AT(TUE, 9, 3), WORKER, "why");
    WANT_TEXT(s, WORKER, 0,
              "Limits: oxygen 2 mg/l for these fish (from memory, careful), nitrite 0.6 mg N/l "
              "(Roques 2015), Secchi under 20cm danger, to 25 no feed, 25 to 40 good (handbooks, "
              "they differ)");
}

static void put_right(void **state) {
    struct stage *s = *state;
    static const struct row rows[] = {
        {"fix p2 do 1.5", "oxygen 1.5 mg/l (18% of full). Too little oxygen"},
        {"fix p2 ph 8.5", "pH 8.5, ammonia 0.5"},
        {"fix p2 tan 5", "ammonia 5: harmful NH3"},
        {"fix p2 no2 1", "nitrite 1 (167% of limit). Too much nitrite"},
        {"fix p2 secchi 15", "Secchi 15cm (too green). So green"},
        {"fix p2 t30", "30C. Nothing wrong"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        a_pond(s);
        stage_text(s, AT(TUE, 9, 0), WORKER, "water p2 t26 do5 ph7.8 tan0.5 no2 0.1 secchi 30");
        uint64_t was = farm_digest(&s->farm.state);
        stage_text(s, AT(TUE, 9, 5), WORKER, rows[i].text);
        if (!strstr(stage_got(s, WORKER, 0), rows[i].wanted) ||
            !strstr(stage_got(s, WORKER, 0), ": now "))
            fail_msg("%s: %s", rows[i].text, stage_got(s, WORKER, 0));
        assert_true(farm_digest(&s->farm.state) != was);
        stage_text(s, AT(TUE, 9, 6), WORKER, "undo");
        assert_true(farm_digest(&s->farm.state) == was);
    }
    stage_text(s, AT(TUE, 9, 6), WORKER, "fix p2 8:30");
    WANT_TEXT(s, WORKER, 0, "WATER P2: now 08:30, was 09:00. Wrong? UNDO");
    assert_int_equal(farm_pond(&s->farm.state, 2)->oxygen.all[0].at_s, AT(TUE, 8, 30));
    stage_text(s, AT(TUE, 9, 6), WORKER, "undo");
    stage_text(s, AT(TUE, 9, 7), WORKER, "fix p2 do 50");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "cannot be"));
    stage_text(s, AT(TUE, 9, 8), WORKER, "undo");
    const struct pond *pond = farm_pond(&s->farm.state, 2);
    assert_int_equal(pond->oxygen.count, 0);
    assert_int_equal(pond->ph_s, 0);
    assert_int_equal(pond->water.count, 0);
}

/* The same texts, each late with its hour and the last first: the same farm. */
static void in_any_order(void **state) {
    struct stage *s = *state;
    static const struct {
        int hour, minute;
        const char *text, *late;
    } rows[] = {
        {12, 0, "water p2 t28 ph8 tan1", "water p2 t28 ph8 tan1 12:00"},
        {18, 0, "water p2 do 6", "water p2 do 6 18:00"},
        {21, 0, "water p2 do 4.8 t27", "water p2 do 4.8 t27 21:00"},
        {28, 30, "gasp p2", "gasp p2 04:30"},
        {28, 35, "water b2 do 5 t27", "water b2 do 5 t27 04:35"},
        {30, 0, "treated p2", "treated p2 06:00"},
        {31, 0, "dead p2 9", "dead p2 9 07:00"},
    };
    const int count = sizeof rows / sizeof *rows;
    a_pond(s);
    for (int i = 0; i < count; i++)
        stage_text(s, AT(MON, rows[i].hour, rows[i].minute), WORKER, rows[i].text);
    uint64_t wanted = farm_digest(&s->farm.state);
    a_pond(s);
    for (int i = count - 1; i >= 0; i--)
        stage_text(s, AT(MON, 23, 50 - i) + (rows[i].hour >= 24 ? 8 * 3600 : 0), WORKER,
                   rows[i].late);
    if (farm_digest(&s->farm.state) != wanted)
        fail_msg("another farm; the last answer: %s", stage_got(s, WORKER, 0));
}

static void of_several_farms(void **state) {
    struct stage *s = *state;
    a_pond(s);
    s->people[OWNER].farms = s->people[WORKER].farms = 2;
    stage_text(s, AT(TUE, 5, 0), WORKER, "gasp p2");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "Creek: P2: no feed"));
    assert_non_null(strstr(stage_got(s, OWNER, 0), "Creek: P2: fish gasp"));
    s->people[OWNER].farms = s->people[WORKER].farms = 1;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_to_do_first),
        cmocka_unit_test(what_cannot_be),
        cmocka_unit_test(two_parts_at_most),
        cmocka_unit_test(with_what_was_known),
        cmocka_unit_test(by_the_fish_that_are_there),
        cmocka_unit_test(an_evening),
        cmocka_unit_test(at_once_in_the_night),
        cmocka_unit_test(a_number_alone_is_asked_again),
        cmocka_unit_test(gasping),
        cmocka_unit_test(another_pond),
        cmocka_unit_test(many_dead),
        cmocka_unit_test(what_stops_the_feed),
        cmocka_unit_test(shapes_and_lime),
        cmocka_unit_test(why),
        cmocka_unit_test(put_right),
        cmocka_unit_test(in_any_order),
        cmocka_unit_test(of_several_farms),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
