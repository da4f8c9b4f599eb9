#include "ops/photo.h"

#include "core/file.h"
#include "image/image.h"
#include "ops/job.h"

#include <errno.h>
#include <math.h>
#include <string.h>
#include <sys/stat.h>

enum { UUID_LENGTH = 36 };

const char *ops_photo_folder(arena *memory, const char *job_path) {
    const char *slash = strrchr(job_path, '/'), *name = slash ? slash + 1 : job_path,
               *ending = strrchr(name, '.');
    size_t stem = ending && ending != name ? (size_t)(ending - job_path) : strlen(job_path);
    return arena_print(memory, "%.*s.photos", (int)stem, job_path);
}

static bool is_uuid(const char *id) {
    if (strlen(id) != UUID_LENGTH) return false;
    for (size_t i = 0; i < UUID_LENGTH; i++) {
        bool dash = i == 8 || i == 13 || i == 18 || i == 23;
        if (dash ? id[i] != '-' : strchr("0123456789abcdef", id[i]) == NULL) return false;
    }
    return true;
}

static bool is_there(const char *path) {
    struct stat about;
    return stat(path, &about) == 0 && S_ISREG(about.st_mode);
}

status ops_photo_find(const char *job_path, const char *named, arena *memory, const char **path, fault *why) {
    const char *folder = ops_photo_folder(memory, job_path), *slash = strrchr(job_path, '/');
    const char *places[] = {
        folder ? arena_print(memory, "%s/%s", folder, named) : NULL,
        arena_print(memory, "%.*s%s", slash ? (int)(slash + 1 - job_path) : 0, job_path, named)};
    *path = NULL;
    if (!places[0] || !places[1]) return fault_memory(why);
    for (size_t i = 0; i < 2 && !*path; i++)
        if (is_there(places[i])) *path = places[i];
    return OK;
}

static status write_jpeg(const image *p, const char *path, fault *why) {
    text bytes = {0};
    status code = image_write_jpeg(p, OPS_PHOTO_QUALITY, &bytes, why);
    if (code == OK) code = file_write(path, text_get(&bytes), bytes.length, why);
    text_free(&bytes);
    return code;
}

static status read_picture(const char *path, size_t side_most, image *out, fault *why) {
    char *bytes = NULL;
    size_t length = 0;
    *out = (image){0};
    status code = file_read(path, &bytes, &length, why);
    if (code == OK) code = image_read(bytes, length, side_most, out, why);
    mem_free(bytes);
    return code;
}

/* ---- photos ---- */

status ops_photo_add(const char *job_path, const char *id, const char *upload, arena *memory,
                     const char **name, fault *why) {
    if (!is_uuid(id))
        return fault_set(why, E_INPUT, "id of the photo is %.60s; it must be a UUID in lower case", id);
    const char *folder = ops_photo_folder(memory, job_path);
    const char *path = folder ? arena_print(memory, "%s/%s.jpg", folder, id) : NULL;
    *name = arena_print(memory, "%s.jpg", id);
    if (!path || !*name) return fault_memory(why);
    if (is_there(path)) return OK;
    image picture;
    status code = read_picture(upload, OPS_PHOTO_SIDE, &picture, why);
    if (code == OK) code = file_make_folder(folder, why);
    if (code == OK) code = write_jpeg(&picture, path, why);
    image_free(&picture);
    return code;
}

status ops_photo_path(const char *job_path, const char *name, arena *memory, const char **path, fault *why) {
    char id[UUID_LENGTH + 1] = {0};
    size_t length = strlen(name);
    bool named = length == UUID_LENGTH + 4 && strcmp(name + UUID_LENGTH, ".jpg") == 0;
    if (named) memcpy(id, name, UUID_LENGTH);
    if (!named || !is_uuid(id)) return fault_set(why, E_INPUT, "%.60s is no name of a photo", name);
    const char *folder = ops_photo_folder(memory, job_path);
    *path = folder ? arena_print(memory, "%s/%s", folder, name) : NULL;
    if (!*path) return fault_memory(why);
    return is_there(*path) ? OK : fault_set(why, E_STATE, "the job has no photo %s", name);
}

/* ---- under a face ---- */

/* Metres a unit of the job's coordinates. */
static double to_m(units_system system, double value) {
    return units_to_si(UNITS_LENGTH, system, value);
}

typedef struct {
    double u0, v0, u1, v1;
} box;

static box box_of(const survey_face *face) {
    box b = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < face->outline.n_points; i++) {
        const survey_point *p = &face->outline.points[i];
        b = (box){fmin(b.u0, p->u_m), fmin(b.v0, p->v_m), fmax(b.u1, p->u_m), fmax(b.v1, p->v_m)};
    }
    return b;
}

/* The map from pixels of the flat picture, v upward, to pixels of the one that came in. */
static status flat_map(const store_underlay *u, box b, double per_m, const image *picture, image_map *out,
                       fault *why) {
    double flat[8], photo[8];
    for (int i = 0; i < 4; i++) {
        flat[2 * i] = (u->onto_m[2 * i] - b.u0) * per_m;
        flat[2 * i + 1] = (b.v1 - u->onto_m[2 * i + 1]) * per_m;
        photo[2 * i] = u->corners[2 * i] * (double)picture->width;
        photo[2 * i + 1] = u->corners[2 * i + 1] * (double)picture->height;
    }
    return image_map_of(flat, photo, out, why);
}

static status make_flat(const store_underlay *u, box b, const char *from, const char *to, fault *why) {
    static const double PIXELS_MOST = 2400,
                        PIXELS_A_METRE = 400; /* our defaults: 2.5 mm a pixel shows a chalk line */
    double longer = fmax(b.u1 - b.u0, b.v1 - b.v0), per_m = fmin(PIXELS_A_METRE, PIXELS_MOST / longer);
    image picture, flat = {0};
    image_map map;
    status code = read_picture(from, OPS_UNDERLAY_SIDE, &picture, why);
    if (code == OK) code = flat_map(u, b, per_m, &picture, &map, why);
    if (code == OK)
        code = image_warp(&picture, &map, (size_t)fmax(1, round((b.u1 - b.u0) * per_m)),
                          (size_t)fmax(1, round((b.v1 - b.v0) * per_m)), &flat, why);
    if (code == OK) code = write_jpeg(&flat, to, why);
    image_free(&picture);
    image_free(&flat);
    return code;
}

/* The flat picture's name holds what it was made of: another outline, another picture. */
static const char *flat_path(arena *memory, const char *folder, const store_underlay *u, box b) {
    text in = {0};
    char hash[HASH_TEXT];
    text_add(&in, u->file);
    for (int i = 0; i < 8; i++) text_print(&in, " %a %a", u->corners[i], u->onto_m[i]);
    text_print(&in, " %a %a %a %a", b.u0, b.v0, b.u1, b.v1);
    bool failed = in.failed;
    hash_text(text_get(&in), in.length, hash);
    text_free(&in);
    return failed ? NULL : arena_print(memory, "%s/flat-%.24s.jpg", folder, hash);
}

/* As keep_picture names them. A job file may come from anybody: its row must not lead to a picture elsewhere. */
static status check_name(const char *file, fault *why) {
    size_t stem = strlen("under-"), digits = 24;
    bool good = strlen(file) == stem + digits + strlen(".jpg") && strncmp(file, "under-", stem) == 0 &&
                strspn(file + stem, "0123456789abcdef") == digits &&
                strcmp(file + stem + digits, ".jpg") == 0;
    return good ? OK
                : fault_set(why, E_FORMAT,
                            "the picture under the face is called %.60s, which is no name of one", file);
}

static status find_face(const survey *s, const char *id, const survey_face **out, fault *why) {
    *out = survey_find_face(s, id);
    return *out ? OK : fault_set(why, E_STATE, "the job has no face %.60s", id);
}

/* The picture as it came, by the hash of its bytes. */
static status keep_picture(const char *folder, const char *upload, arena *memory, const char **file,
                           fault *why) {
    image picture;
    text bytes = {0};
    char hash[HASH_TEXT];
    status code = read_picture(upload, OPS_UNDERLAY_SIDE, &picture, why);
    if (code == OK) code = image_write_jpeg(&picture, OPS_PHOTO_QUALITY, &bytes, why);
    image_free(&picture);
    if (code == OK) {
        hash_text(text_get(&bytes), bytes.length, hash);
        *file = arena_print(memory, "under-%.24s.jpg", hash);
        const char *path = *file ? arena_print(memory, "%s/%s", folder, *file) : NULL;
        code = path ? file_make_folder(folder, why) : fault_memory(why);
        if (code == OK) code = file_write(path, text_get(&bytes), bytes.length, why);
    }
    text_free(&bytes);
    return code;
}

static status check_underlay(store *job, const ops_underlay_request *r, store_underlay *row, arena *memory,
                             fault *why) {
    survey *s = NULL;
    const survey_face *face;
    image_map map;
    status code = job_load(job, &s, why);
    if (code == OK) code = find_face(s, r->face, &face, why);
    if (code == OK) {
        *row = (store_underlay){.face = arena_copy(memory, r->face)};
        for (int i = 0; i < 8; i++) {
            row->corners[i] = r->corners[i];
            row->onto_m[i] = to_m(s->site.system, r->onto[i]);
        }
        code = row->face ? image_map_of(row->corners, row->onto_m, &map, why) : fault_memory(why);
    }
    survey_free(s);
    return code;
}

status ops_underlay_set(const char *job_path, const ops_underlay_request *request, const ops_actor *actor,
                        long long *revision, fault *why) {
    store *job = NULL;
    store_underlay row;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    const char *folder = ops_photo_folder(memory, job_path);
    status code = folder ? store_open(job_path, false, &job, why) : fault_memory(why);
    if (code == OK) code = check_underlay(job, request, &row, memory, why);
    if (code == OK) code = keep_picture(folder, request->upload, memory, &row.file, why);
    if (code == OK) code = store_begin(job, why);
    if (code == OK) code = store_set_underlay(job, &row, why);
    if (code == OK) code = job_log(job, actor, why, "picture under face %s", request->face);
    if (code == OK) code = store_revision(job, revision, why);
    if (code == OK) code = store_commit(job, why);
    store_close(job);
    arena_free(memory);
    return code;
}

status ops_underlay_path(const char *job_path, const char *face_id, arena *memory, const char **path,
                         fault *why) {
    store *job = NULL;
    survey *s = NULL;
    store_underlay row;
    const survey_face *face = NULL;
    bool found = false;
    const char *folder = ops_photo_folder(memory, job_path);
    status code = folder ? store_open(job_path, true, &job, why) : fault_memory(why);
    if (code == OK) code = job_load(job, &s, why);
    if (code == OK) code = find_face(s, face_id, &face, why);
    if (code == OK) code = store_load_underlay(job, face_id, memory, &row, &found, why);
    if (code == OK && !found) code = fault_set(why, E_STATE, "face %.60s has no picture under it", face_id);
    if (code == OK) code = check_name(row.file, why);
    store_close(job);
    if (code == OK) {
        box b = box_of(face);
        const char *from = arena_print(memory, "%s/%s", folder, row.file);
        *path = flat_path(memory, folder, &row, b);
        code = from && *path ? OK : fault_memory(why);
        if (code == OK && !is_there(*path)) code = make_flat(&row, b, from, *path, why);
    }
    survey_free(s);
    return code;
}
