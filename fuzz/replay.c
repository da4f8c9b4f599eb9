/* Runs a fuzz target once on every file of the folders given: the corpus as a test, under any compiler. */
#include "core/file.h"
#include "core/mem.h"

#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static int replay_file(const char *path) {
    fault why = {OK, ""};
    char *bytes = NULL;
    size_t length = 0;
    if (file_read(path, &bytes, &length, &why) != OK) {
        fprintf(stderr, "%s\n", why.text);
        return 1;
    }
    LLVMFuzzerTestOneInput((const uint8_t *)bytes, length);
    mem_free(bytes);
    return 0;
}

static int replay_folder(const char *folder, int *files) {
    DIR *list = opendir(folder);
    int faults = 0;
    if (!list) {
        fprintf(stderr, "%s: cannot be opened\n", folder);
        return 1;
    }
    for (struct dirent *entry; (entry = readdir(list)) != NULL;) {
        char path[4096];
        if (entry->d_name[0] == '.') continue;
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        faults += replay_file(path);
        ++*files;
    }
    closedir(list);
    return faults;
}

int main(int argc, char **argv) {
    int files = 0, faults = 0;
    for (int i = 1; i < argc; i++) faults += replay_folder(argv[i], &files);
    printf("%d files\n", files);
    return faults || files == 0;
}
