/* photo.h - pictures of a job: photos that records name, and pictures laid under faces.
 *
 * They stay files in a folder beside the job file ("cellar.photos" of cellar.stanch). A picture that comes in is decoded
 * and written anew as JPEG, upright, at most OPS_PHOTO_SIDE pixels a side, without EXIF: what is served is ours, and where
 * and by which phone it was taken is nobody's business. Errors  as image.h and store.h. Threads  as ops.h. */
#ifndef STANCH_OPS_PHOTO_H
#define STANCH_OPS_PHOTO_H

#include "ops/ops.h"

enum { OPS_PHOTO_SIDE = 2400, OPS_UNDERLAY_SIDE = 4000, OPS_PHOTO_QUALITY = 88 };

/* The folder of a job's pictures, in `memory`. */
const char *ops_photo_folder(arena *memory, const char *job_path);

/* Keep the picture in the file `upload` as "<id>.jpg"; id is a UUID in lower case, made by the device. The same id again:
 * the one that is there stays. *name lives in `memory`. */
status ops_photo_add(const char *job_path, const char *id, const char *upload, arena *memory,
                     const char **name, fault *why);

/* Path of a photo that is there; E_STATE otherwise, E_INPUT when `name` is no name of a photo. */
status ops_photo_path(const char *job_path, const char *name, arena *memory, const char **path, fault *why);

/* The file that a record names: in that folder, or beside the job file. *path NULL: it is in neither. */
status ops_photo_find(const char *job_path, const char *named, arena *memory, const char **path, fault *why);

typedef struct {
    const char *face;   /* id */
    const char *upload; /* path of the picture */
    double
        corners[8]; /* x, y of four points: parts of the width from the left and of the height from the top */
    double onto[8]; /* u, v of the same on the face, in the job's units */
} ops_underlay_request;

/* Lay a picture under a face, instead of one that was there; *revision is that of the job afterwards. */
status ops_underlay_set(const char *job_path, const ops_underlay_request *request, const ops_actor *actor,
                        long long *revision, fault *why);

/* Path of the picture laid flat over the box of the face's outline; made when it is not there. E_STATE: the face has
 * none. */
status ops_underlay_path(const char *job_path, const char *face, arena *memory, const char **path,
                         fault *why);

#endif
