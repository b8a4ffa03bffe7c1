/* money: sums of money in a text, and how a request's line holds one. Inside the text room. Pure.
 */
#ifndef TEXT_MONEY_H
#define TEXT_MONEY_H

#include "base/arena.h"
#include "base/buf.h"
#include "text/value.h"

/* A sum that something beside it says is one: a currency before or behind it, 450000/=, for 450000,
 * 150 each. Where the kind takes money and counts nothing, any number. A currency alone where one
 * is asked. False: none here. */
bool text_money(const struct text_value_context *c, struct text_piece piece,
                const struct text_hits *hits, struct text_value *out);

/* $, pounds' and euros' signs beside a digit as the codes of their currencies, which folding would
 * drop; NULL bytes: the arena is full. */
struct slice text_money_signs(struct slice text, struct arena *arena);

/* A plain number that the whole text says is money. */
struct text_value text_money_plain(const struct text_value_context *c, struct slice digits);

/* The number at a place is one of tins, bags and so on: their word is right behind it. */
bool text_money_measured(const struct text_value_context *c, size_t end);

/* Every list "money.CODE" of the words is a currency of ISO 4217; NULL, or the name of one that is
 * none. */
const char *text_money_unknown(const struct words *w);

void text_money_write(const struct request *r, struct buf *out);
enum err text_money_parse(struct slice s,
                          struct request *out) MUST_LOOK; /* ERR_SYNTAX, ERR_RANGE */

#endif
