/* feed: what fish are fed, by its name, and the measures that it is given with. Inside the text
 * room. Pure. */
#ifndef TEXT_FEED_H
#define TEXT_FEED_H

#include "text/value.h"

/* The kind takes tins, cups and so on: halves of them are counted, too. */
bool text_feed_measured(const struct text_value_context *c);

/* Where a measure's word that stands right behind a number ends: 3tins. 0: none stands there. */
size_t text_feed_measure(const struct text_value_context *c, size_t at);

/* A name of feed, where the kind takes one: one that the catalogues know, or one or two words next
 * to each other that mean nothing here. False: none here. */
bool text_feed_name(const struct text_value_context *c, struct text_piece piece,
                    const struct text_hits *hits, struct text_value *out);

/* The catalogues know the name, or its last word: yellow mash. */
bool text_feed_known(const struct text_scanner *scanner, struct slice name);

#endif
