/* SPDX-License-Identifier: MIT */
/* Opens the module that draws, and looks at the job before it does. Linked into the program the drawing libraries would
 * cost every command some milliseconds at its start; DEVELOPERS.md has the figures. */
#include "coretally/view/label_page.h"

#include <assert.h>
#include <dlfcn.h>
#include <string.h>

#include "label_apart.h"
#include "label_module.h"

/* A name without a slash is looked for where the program was told by its run path: beside it, in lib/coretally. The
 * module stays open to the end: the libraries in it cannot be unloaded. */
static enum status module_open(const struct label_module **out, struct err *err)
{
    void *handle = dlopen(LABEL_MODULE_FILE, RTLD_NOW | RTLD_LOCAL);
    const struct label_module *module = handle ? dlsym(handle, LABEL_MODULE_OBJECT) : NULL;
    if (!module) {
        const char *reason = dlerror();
        if (reason && (strstr(reason, "cannot map") || strstr(reason, "failed to map") || strstr(reason, "allocate"))) {
            err_set(err, STATUS_SYSTEM, LABEL_MODULE_FILE,
                    "not enough memory to open the part of the program that draws labels: %.300s", reason);
            return err_hint(err, "end other programs, then type it again");
        }
        err_set(err, STATUS_SYSTEM, LABEL_MODULE_FILE,
                "could not open the part of the program that draws labels: %.300s",
                reason ? reason : "it holds nothing");
        return err_hint(
            err, "install the whole program: the folder lib/coretally belongs beside bin, and the libraries pango, "
                 "cairo and zint on the machine");
    }
    if (strcmp(module->version, CORETALLY_VERSION) != 0 || module->job_size != sizeof(struct label_job)) {
        err_set(err, STATUS_SYSTEM, LABEL_MODULE_FILE, "it is of version %.40s, the program is of version %s",
                module->version, CORETALLY_VERSION);
        return err_hint(err, "install the whole program again");
    }
    *out = module;
    return STATUS_OK;
}

static enum status job_check(const struct label_job *job, struct err *err)
{
    const size_t places = layout_places(job->layout);
    assert(job->created.known);
    if (job->count < 1 || job->count > LABEL_JOB_MAX)
        return err_set(err, STATUS_INPUT, "labels", "%zu at a time; 1 to %d can be drawn", job->count, LABEL_JOB_MAX);
    if (job->start < 1 || job->start > places)
        return err_set(err, STATUS_INPUT, "start",
                       "place %zu is not on the sheet; a sheet of layout %.60s has places 1 to %zu", job->start,
                       job->layout->name, places);
    if (job->format == PAGE_PNG && !(job->dpi >= LABEL_DPI_LEAST && job->dpi <= LABEL_DPI_MOST))
        return err_set(err, STATUS_INPUT, "dpi", "%.6g dots an inch; %d to %d can be drawn", job->dpi, LABEL_DPI_LEAST,
                       LABEL_DPI_MOST);
    return STATUS_OK;
}

/* In the child: opening the module already starts what its libraries need. */
static enum status open_and_draw(const struct label_job *job, struct arena *arena, struct page_file **out,
                                 size_t *count, struct err *err)
{
    const struct label_module *module = NULL;
    TRY(module_open(&module, err));
    assert(module);
    return module->draw(job, arena, out, count, err);
}

enum status label_pages_draw(const struct label_job *job, struct arena *arena, struct page_file **out, size_t *count,
                             struct err *err)
{
    TRY(job_check(job, err));
    return draw_apart(open_and_draw, job, arena, out, count, err);
}
