/* A Vulkan driver that loses its device: every call goes on to the driver that REAL_DRIVER names, but while the file exists
   that LOSE_DEVICE names, the next submission takes the file away and answers that the device is lost. */

#include <dlfcn.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Source: vulkan_core.h of Khronos, VkResult. */
#define VK_ERROR_INITIALIZATION_FAILED (-3)
#define VK_ERROR_DEVICE_LOST (-4)

typedef void (*Function)(void);
typedef Function (*Lookup)(void *handle, const char *name);
typedef int32_t (*Submit)(void *queue, uint32_t count, const void *submits, uint64_t fence);
typedef int32_t (*Negotiate)(uint32_t *version);

static Lookup real_instance, real_physical, real_device;
static Submit real_submit;

static int open_real(void) {
  if (real_instance) return 1;
  const char *path = getenv("REAL_DRIVER");
  void *driver = path ? dlopen(path, RTLD_NOW | RTLD_LOCAL) : NULL;
  if (!driver) return 0;
  real_instance = (Lookup)dlsym(driver, "vk_icdGetInstanceProcAddr");
  real_physical = (Lookup)dlsym(driver, "vk_icdGetPhysicalDeviceProcAddr");
  return real_instance != NULL;
}

static int32_t submit(void *queue, uint32_t count, const void *submits, uint64_t fence) {
  const char *path = getenv("LOSE_DEVICE");
  if (path && unlink(path) == 0) return VK_ERROR_DEVICE_LOST;
  return real_submit(queue, count, submits, fence);
}

static Function of_device(void *device, const char *name) {
  Function found = real_device(device, name);
  if (found && strcmp(name, "vkQueueSubmit") == 0) {
    real_submit = (Submit)found;
    return (Function)submit;
  }
  return found;
}

Function vk_icdGetInstanceProcAddr(void *instance, const char *name) {
  if (!open_real()) return NULL;
  Function found = real_instance(instance, name);
  if (found && strcmp(name, "vkGetDeviceProcAddr") == 0) {
    real_device = (Lookup)found;
    return (Function)of_device;
  }
  return found;
}

Function vk_icdGetPhysicalDeviceProcAddr(void *instance, const char *name) {
  return open_real() && real_physical ? real_physical(instance, name) : NULL;
}

int32_t vk_icdNegotiateLoaderICDInterfaceVersion(uint32_t *version) {
  if (!open_real()) return VK_ERROR_INITIALIZATION_FAILED;
  Function found = real_instance(NULL, "vk_icdNegotiateLoaderICDInterfaceVersion");
  if (!found) {
    void *driver = dlopen(getenv("REAL_DRIVER"), RTLD_NOW | RTLD_LOCAL);
    found = (Function)dlsym(driver, "vk_icdNegotiateLoaderICDInterfaceVersion");
  }
  return found ? ((Negotiate)found)(version) : 0;
}
