/* point: named places in the work where a fault test may end the process at once, as a power cut
 * would (SIGKILL: nothing is flushed, nothing cleaned up). Only builds with BARBEL_POINTS have
 * them; elsewhere POINT is nothing. */
#ifndef BASE_POINT_H
#define BASE_POINT_H

/* "NAME" or "NAME:N": the Nth time that the point NAME is passed, the process is killed. NULL or
 * empty: no point. Called by main with what the environment's BARBEL_KILL_AT says. */
void point_arm(const char *name_and_count);
void point_pass(const char *name);

#ifdef BARBEL_POINTS
#define POINT(name) point_pass(name)
#else
#define POINT(name) ((void)0)
#endif

#endif
